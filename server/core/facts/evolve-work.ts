import type { Plant } from '../setup/plant.ts';
import type { Instant } from '../units.ts';
import type { Fact } from './fact.ts';
import type { Flag, FlagCode } from './flag.ts';
import { type Change, flagOf, noChange } from './movement.ts';
import type { CoverZones, FindWork, FixWork, ReopenWork, UncoverZones, VerifyWork } from './quality-facts.ts';
import type { BreachState, CheckState, WorkState } from './quality-state.ts';
import { openIn } from '../gates/access.ts';
import type { UnitState } from './unit-state.ts';

type WorkFact = FindWork | FixWork | VerifyWork | ReopenWork | CoverZones | UncoverZones;

export function isWorkFact(fact: Fact): fact is WorkFact {
  return ['findWork', 'fixWork', 'verifyWork', 'reopenWork', 'coverZones', 'uncoverZones'].includes(fact.kind);
}

/** Open work from found to verified, and the zones that stations close over it (definitions §8, access). */
export function evolveWork(state: UnitState, fact: WorkFact, plant: Plant | null): Change {
  switch (fact.kind) {
    case 'findWork': {
      const { id, what, zone, severity, belongsTo, happened, who, spots = [], photo } = fact;
      const found = { found: { at: happened, who }, status: 'found' as const, fixed: null, verified: null, reopened: 0 };
      const work: WorkState = { id, what, zone, severity, belongsTo, ofCheck: null, ...found, spots, note: '', photos: photosWith([], photo) };
      const unknown = zone !== null && !isZone(plant, zone);
      return { ...noChange({ ...state, work: [...state.work, work] }), flags: unknown ? [flagOf(fact, state, 'unknownTarget', zone)] : [] };
    }
    case 'fixWork': return stepOf(state, fact, plant, (one) => (one.status !== 'found' ? null
      : { ...one, status: 'fixed', fixed: { at: fact.happened, who: fact.who }, note: fact.note || one.note, photos: photosWith(one.photos, fact.photo) }));
    case 'verifyWork': return stepOf(state, fact, plant, (one) => (one.status === 'fixed' && one.fixed?.who !== fact.who ? { ...one, status: 'verified', verified: { at: fact.happened, who: fact.who } } : null));
    case 'reopenWork': return stepOf(state, fact, plant, (one) => (one.status === 'found' ? null : { ...one, status: 'found', fixed: null, verified: null, reopened: one.reopened + 1, note: fact.reason }));
    case 'coverZones': return covered(state, fact, plant);
    case 'uncoverZones': return noChange({ ...state, covered: state.covered.filter((zone) => !fact.zones.includes(zone)) });
  }
}

/** Work that a fact takes a step on; `step` null where the step does not follow from where it stands: verified before it was fixed, fixed twice. */
function stepOf(state: UnitState, fact: FixWork | VerifyWork | ReopenWork, plant: Plant | null, step: (one: WorkState) => WorkState | null): Change {
  const one = state.work.find(({ id }) => id === fact.work);
  if (!one) return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', fact.work)] };
  const next = step(one);
  if (!next) return { ...noChange(state), flags: [flagOf(fact, state, whyNoStep(fact, one), one.what)] };
  const checks = fact.kind === 'fixWork' ? worked(state.checks, one.zone, fact.happened, plant) : state.checks;
  return noChange({ ...state, work: state.work.map((other) => (other === one ? next : other)), checks });
}

/** Nobody verifies what they fixed themselves. */
function whyNoStep({ kind }: FixWork | VerifyWork | ReopenWork, { status }: WorkState): FlagCode {
  if (kind !== 'verifyWork' || status === 'verified') return 'twice';
  return status === 'found' ? 'notFixed' : 'verifiedByFixer';
}

export function photosWith(photos: readonly string[], photo: string | undefined): string[] {
  return photo === undefined ? [...photos] : [...photos, photo];
}

/** The checks after work was done in `zone`: passes of those that look at the zone are due again. */
export function worked(checks: CheckState[], zone: string | null, at: Instant, plant: Plant | null): CheckState[] {
  if (zone === null || checks.length === 0) return checks;
  const looking = plant?.checks?.filter(({ zones }) => zones.includes(zone)).map(({ code }) => code) ?? [];
  return checks.map((one) => (one.passedAt !== null && one.dueAgain === null && looking.includes(one.check) ? { ...one, dueAgain: { zone, at } } : one));
}

/** Zones closed: over open work in one of them the access gate is passed. */
function covered(state: UnitState, fact: CoverZones, plant: Plant | null): Change {
  const flags: Flag[] = fact.zones.filter((zone) => !isZone(plant, zone)).map((zone) => flagOf(fact, state, 'unknownTarget', zone));
  const breaches: BreachState[] = [];
  for (const zone of new Set(fact.zones)) {
    const buried = openIn(state, zone);
    if (buried.length === 0) continue;
    flags.push(flagOf(fact, state, 'coveredOpenWork', `${zone}: ${buried.map(({ what }) => what).join('; ')}`));
    breaches.push({ id: `${fact.id}/access/${zone}`, gate: 'access', detail: zone, station: fact.station, at: fact.happened, who: fact.who, settled: null });
  }
  const zones = [...new Set([...state.covered, ...fact.zones])].sort();
  return { ...noChange({ ...state, covered: zones, breaches: [...state.breaches, ...breaches] }), flags };
}

function isZone(plant: Plant | null, code: string): boolean {
  return plant?.zones?.some((zone) => zone.code === code) ?? false;
}
