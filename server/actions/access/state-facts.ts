import { errorReply } from '../../contract/errors.ts';
import type { FactsReply } from '../../contract/replies.ts';
import { judgeFact, type Judged, type NoRight } from '../../core/access/judge-fact.ts';
import { FACT_RIGHTS } from '../../core/access/rights.ts';
import type { Fact } from '../../core/facts/fact.ts';
import { sessionsOfDevice } from '../../store/access/sessions.ts';
import { factsById } from '../../store/facts/facts-by-id.ts';
import { factFromWire, type Stated } from '../fact-from-wire.ts';
import type { Recorder } from '../record-facts.ts';
import type { AccessParts } from './access-parts.ts';
import type { Caller } from './caller.ts';
import { isPinOf } from './sign-in.ts';

const WHY: Record<NoRight, string> = {
  otherDevice: 'The fact was stated by another device than the one that sends it.',
  notPaired: 'This device was not paired with the plant, and the person not signed in at it, when it happened.',
  otherStation: 'This kiosk does not serve the station.',
  unknownBadge: 'Nobody wore this badge when it happened.',
  noRole: 'The person had no role that may state this when it happened.',
  notSignedIn: 'This takes more than a badge: the person must be signed in.',
  wrongPin: 'That badge and PIN do not belong together.',
  voidOfOthers: 'What another device stated is voided by a supervisor or quality.',
};

/** A request with facts: as they came over the wire, and PINs by the id of the fact that each came with. */
export interface FactsSaid {
  facts: readonly unknown[];
  pins: Readonly<Record<string, string>>;
}

/**
 * Records the facts of a request, each judged by who states it, from which device and when; one without the right is refused by itself. Throws
 * `signInWaits` where a PIN came with one and others failed before: then none is recorded.
 */
export async function stateFacts(parts: AccessParts, recorder: Recorder, caller: Caller, plant: string, { facts: wireFacts, pins }: FactsSaid): Promise<FactsReply> {
  const stated = wireFacts.map(factFromWire);
  const facts = stated.flatMap(({ fact }) => fact ?? []);
  const judged = { ...(await judgedFor(parts, caller, plant, facts)), pins: await checkedPins(parts, caller, plant, facts, pins) };
  const refused: { fact: Fact; why: NoRight }[] = [];
  const permitted = stated.map((one): Stated => {
    const why = one.fact && judgeFact(one.fact, judged);
    if (!one.fact || !why) return one;
    refused.push({ fact: one.fact, why });
    return { said: one.said, fact: null, refused: { id: one.said, outcome: 'refused', flags: [], why: errorReply('noRight', { what: WHY[why], where: why }) } };
  });
  const reply = await recorder.recordStated(plant, permitted);
  const [first] = refused;
  if (first) await parts.audit(caller, plant, 'factsRefused', { n: refused.length, why: first.why, fact: first.fact.id, kind: first.fact.kind, who: first.fact.who });
  return reply;
}

/** PINs serve at a kiosk of the plant, for what takes more than a badge. */
async function checkedPins(parts: AccessParts, caller: Caller, plant: string, facts: readonly Fact[], pins: FactsSaid['pins']): Promise<Map<string, boolean>> {
  const checked = new Map<string, boolean>();
  for (const { id, kind, who: badge, device } of facts) {
    const pin = Object.hasOwn(pins, id) ? pins[id] : undefined;
    if (pin === undefined || FACT_RIGHTS[kind].badge || caller.device?.plant !== plant || caller.device.code !== device || checked.has(id)) continue;
    checked.set(id, await isPinOf(parts, caller, plant, { badge, pin }));
  }
  return checked;
}

async function judgedFor({ db, memory, now }: AccessParts, caller: Caller, plant: string, facts: readonly Fact[]): Promise<Omit<Judged, 'pins'>> {
  const { byBadge, byCode } = await memory.now();
  const device = caller.device?.code ?? '';
  // A token that was good once, and no more since, says nothing of what the device did after it was paired again.
  const ended = caller.device?.until ?? Infinity;
  const lettingsIn = (byCode.get(device) ?? []).filter(({ from }) => from < ended);
  // At a kiosk most facts need no more than a badge: then nothing is looked up.
  const asks = facts.some(({ kind }) => kind === 'void' || !FACT_RIGHTS[kind].badge) || lettingsIn.some((letting) => letting.plant !== plant) || caller.session !== null;
  const sessions = asks ? await sessionsOfDevice(db, device) : [];
  const targets = facts.flatMap((fact) => (fact.kind === 'void' ? [fact.fact] : []));
  const known = targets.length > 0 ? await factsById(db, plant, targets) : new Map<string, Fact>();
  const together = new Map(facts.map((fact) => [fact.id, fact]));
  const statedBy = (id: string): string | null => (known.get(id) ?? together.get(id))?.device ?? null;
  return { plant, now: now(), device, lettingsIn, sessions, wearer: (badge) => byBadge.get(badge) ?? null, statedBy };
}
