import { z } from 'zod';
import type { Fact } from '../core/facts/fact.ts';
import { DRAWINGS } from '../core/facts/quality-facts.ts';
import { type ErrorReply, errorReply } from './errors.ts';
import { instant, localDate, name, reason, text, uuidV7 } from './shapes.ts';

const base = {
  id: uuidV7, happened: instant, told: z.boolean().default(false), who: name, device: name,
  counter: z.int().min(0).max(Number.MAX_SAFE_INTEGER),
  // Left out where nothing was corrected, so that a fact stated before the entry was known is still the same fact.
  corrected: z.int().optional(),
};
const note = text.default('');
const atStation = { ...base, unit: name, station: name };
const ofUnit = { ...base, unit: name };
const build = { model: name, options: z.array(name).max(50) };
const eitherPlace = { line: name.nullable().default(null), station: name.nullable().default(null) };
const shortItem = z.object({ what: reason, owner: text, fitAt: name.nullable().default(null), expected: instant.nullable().default(null), zone: name.nullable().optional() });

// Left out where nobody said, so that a fact stated before the entries were known is still the same fact.
const photo = uuidV7.optional();
const share = z.number().min(0).max(1);
const shown = { spots: z.array(z.object({ drawing: z.enum(DRAWINGS), x: share, y: share })).max(20).optional(), photo };
const itemResult = z.object({ item: name, value: z.union([z.boolean(), z.number(), text]), judged: z.boolean().nullable().default(null), note: text.optional(), ...shown });

/** A fact as it crosses the wire: instants in ISO 8601; its output is the core's `Fact`. */
export const factSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('arrive'), ...atStation }),
  z.object({ kind: z.literal('finish'), ...atStation }),
  z.object({ kind: z.literal('leave'), ...atStation }),
  z.object({ kind: z.literal('leaveShort'), ...atStation, items: z.array(shortItem).min(1).max(50) }),
  z.object({ kind: z.literal('fitShort'), ...ofUnit, short: z.union([uuidV7, name]), item: z.int().min(0).max(49) }),
  z.object({ kind: z.literal('openHold'), ...ofUnit, reason, keepsFrom: z.enum(['work', 'leaving', 'station', 'shipping']), fromStation: name.nullable().default(null), note }),
  z.object({ kind: z.literal('clearHold'), ...ofUnit, hold: uuidV7, note }),
  z.object({ kind: z.literal('pullOff'), ...ofUnit, reason, to: name.nullable().default(null) }),
  z.object({ kind: z.literal('putBack'), ...atStation }),
  z.object({ kind: z.literal('park'), ...ofUnit, place: name, slot: text.default('') }),
  z.object({ kind: z.literal('seen'), ...atStation, slot: text.default('') }),
  z.object({ kind: z.literal('missing'), ...atStation }),
  z.object({ kind: z.literal('release'), ...ofUnit }),
  z.object({ kind: z.literal('revokeRelease'), ...ofUnit, reason }),
  z.object({ kind: z.literal('ship'), ...ofUnit, carrier: text.default(''), override: reason.optional() }),
  z.object({ kind: z.literal('comeBack'), ...ofUnit, reason }),
  z.object({ kind: z.literal('putOnLoad'), ...ofUnit, load: name.nullable() }),
  z.object({ kind: z.literal('planLoad'), ...base, load: name, carrier: text, pickUp: instant.nullable().default(null), note }),
  z.object({ kind: z.literal('callCarrier'), ...base, load: name, note }),
  z.object({ kind: z.literal('roll'), ...base, line: name }),
  z.object({ kind: z.literal('openStop'), ...base, station: name, reason, note }),
  z.object({ kind: z.literal('clearStop'), ...base, station: name, stop: uuidV7, note }),
  z.object({ kind: z.literal('openUntil'), ...base, ...eitherPlace, until: instant }),
  z.object({ kind: z.literal('goneHome'), ...base, ...eitherPlace }),
  // A person who works at two stations is half a head at each, so fractions are heads too.
  z.object({ kind: z.literal('heads'), ...base, station: name, heads: z.number().min(0).max(1_000) }),
  z.object({ kind: z.literal('loan'), ...base, station: name, from: name.nullable().default(null), heads: z.number().min(0).max(1_000), until: instant.nullable().default(null) }),
  z.object({ kind: z.literal('note'), ...base, line: name, text: reason }),
  z.object({ kind: z.literal('openAction'), ...base, line: name, what: reason, owner: reason, due: instant.nullable().default(null) }),
  z.object({ kind: z.literal('closeAction'), ...base, line: name, action: uuidV7, note }),
  z.object({
    kind: z.literal('register'), ...ofUnit, ...build, order: text, dealer: text, sequence: z.number(), plannedRelease: instant.nullable().default(null),
    wish: localDate.nullable().default(null), promise: localDate.nullable().default(null),
  }),
  z.object({ kind: z.literal('bindVin'), ...ofUnit, vin: name }),
  z.object({ kind: z.literal('resequence'), ...ofUnit, sequence: z.number(), reason }),
  z.object({ kind: z.literal('replan'), ...ofUnit, plannedRelease: instant.nullable(), reason }),
  z.object({ kind: z.literal('promise'), ...ofUnit, promise: localDate.nullable(), reason }),
  z.object({ kind: z.literal('wish'), ...ofUnit, wish: localDate.nullable(), reason }),
  z.object({ kind: z.literal('changeDealer'), ...ofUnit, dealer: text, reason }),
  z.object({ kind: z.literal('changeBuild'), ...ofUnit, ...build, reason }),
  z.object({ kind: z.literal('cancel'), ...ofUnit, reason }),
  z.object({ kind: z.literal('findWork'), ...ofUnit, what: reason, zone: name.nullable().default(null), severity: z.enum(['minor', 'major', 'safety']).default('major'), belongsTo: name.nullable().default(null), ...shown }),
  z.object({ kind: z.literal('fixWork'), ...ofUnit, work: name, note, photo }),
  z.object({ kind: z.literal('verifyWork'), ...ofUnit, work: name, note }),
  z.object({ kind: z.literal('reopenWork'), ...ofUnit, work: name, reason }),
  z.object({ kind: z.literal('coverZones'), ...atStation, zones: z.array(name).min(1).max(100) }),
  z.object({ kind: z.literal('uncoverZones'), ...ofUnit, zones: z.array(name).min(1).max(100), reason }),
  z.object({ kind: z.literal('checkResult'), ...ofUnit, check: name, version: z.int().min(1).max(1_000_000), results: z.array(itemResult).max(100) }),
  z.object({ kind: z.literal('recordPart'), ...ofUnit, part: name, number: name, lot: text.default(''), takenFrom: name.optional() }),
  z.object({ kind: z.literal('removePart'), ...ofUnit, fitted: uuidV7, reason, takenFor: name.optional() }),
  z.object({ kind: z.literal('openCampaign'), ...ofUnit, campaign: name, title: reason, steps: z.array(reason).min(1).max(20) }),
  z.object({ kind: z.literal('signStep'), ...ofUnit, campaign: name, step: z.int().min(0).max(19), note }),
  z.object({ kind: z.literal('overrideGate'), ...ofUnit, breach: reason, reason }),
  z.object({ kind: z.literal('settleItem'), ...ofUnit, item: name, settled: z.boolean(), note }),
  z.object({ kind: z.literal('void'), ...base, fact: uuidV7, reason }),
  z.object({ kind: z.literal('identify'), ...ofUnit, scanned: name, reason }),
]).superRefine((fact, context) => {
  const wrong = (path: string, message: string): void => void context.addIssue({ code: 'custom', path: [path], message });
  if (fact.kind === 'openHold' && (fact.keepsFrom === 'station') !== (fact.fromStation !== null)) wrong('fromStation', 'is given exactly when keepsFrom is "station"');
  if ((fact.kind === 'openUntil' || fact.kind === 'goneHome') && (fact.line === null) === (fact.station === null)) wrong('line', 'exactly one of line and station is given');
  if (fact.kind === 'loan' && fact.from === fact.station) wrong('from', 'a station does not lend to itself');
  if (fact.kind === 'loan' && fact.until !== null && fact.until <= fact.happened) wrong('until', 'must be after happened');
  if (fact.kind === 'openUntil' && fact.until <= fact.happened) wrong('until', 'must be after happened');
  if (fact.kind === 'void' && fact.fact === fact.id) wrong('fact', 'a fact cannot void itself');
  if (fact.kind === 'identify' && fact.unit === fact.scanned) wrong('scanned', 'is the unit itself');
});

export type WireFact = z.input<typeof factSchema>;

/** The fact in `value`, or what is malformed about it, where, and what to do. Never throws. */
export function parseFact(value: unknown): { fact: Fact; problem: null } | { fact: null; problem: ErrorReply } {
  const parsed = factSchema.safeParse(value);
  if (parsed.success) return { fact: parsed.data, problem: null };
  const [first] = parsed.error.issues;
  const where = first && first.path.length > 0 ? first.path.join('.') : 'the fact';
  return { fact: null, problem: errorReply('malformedFact', { what: `The fact is malformed: ${where}: ${first?.message ?? 'not a fact'}.`, where }) };
}
