import { partNumberFault } from '../gates/part-number.ts';
import type { Plant } from '../setup/plant.ts';
import type { PartKind } from '../setup/quality.ts';
import { worked } from './evolve-work.ts';
import type { Flag } from './flag.ts';
import { type Change, flagOf, noChange } from './movement.ts';
import type { RecordPart, RemovePart } from './quality-facts.ts';
import type { OpenShortState, UnitState } from './unit-state.ts';

const kindOf = (plant: Plant | null, part: string): PartKind | undefined => plant?.partKinds?.find(({ code }) => code === part);

/** Fitting a part of a kind with a zone is work in that zone. It fills the place of one that was taken out for another unit. */
export function partRecorded(state: UnitState, fact: RecordPart, plant: Plant | null): Change {
  const kind = kindOf(plant, fact.part);
  const flags: Flag[] = kind ? [] : [flagOf(fact, state, 'unknownTarget', fact.part)];
  if (state.parts.some(({ part }) => part === fact.part)) flags.push(flagOf(fact, state, 'twice', fact.part));
  if (kind && partNumberFault(kind.format, fact.number) !== null) flags.push(flagOf(fact, state, 'partNumberWrong', fact.number));
  const part = { id: fact.id, part: fact.part, number: fact.number, lot: fact.lot, takenFrom: fact.takenFrom ?? null, at: fact.happened, who: fact.who };
  const filled = state.shorts.find(({ short }) => short === `${REMOVED}${fact.part}`);
  const shorts = filled ? state.shorts.filter((short) => short !== filled) : state.shorts;
  return { ...noChange({ ...state, shorts, parts: [...state.parts, part], checks: worked(state.checks, kind?.zone ?? null, fact.happened, plant) }), flags };
}

/** What stands in `short` of a shortage that no fact of leaving short opened: the code of the part that was taken out follows. */
export const REMOVED = 'removed ';

/** Taken out for another unit it leaves this one short of it, until one is recorded again. */
export function partRemoved(state: UnitState, fact: RemovePart, plant: Plant | null): Change {
  const removed = state.parts.find(({ id }) => id === fact.fitted);
  if (!removed) return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', fact.fitted)] };
  const kind = kindOf(plant, removed.part);
  const out = { ...removed, removed: { at: fact.happened, who: fact.who, reason: fact.reason, takenFor: fact.takenFor ?? null } };
  const short: OpenShortState = {
    short: `${REMOVED}${removed.part}`, item: 0, what: kind?.name ?? removed.part, owner: '', fitAt: kind?.station ?? null, expected: null, zone: kind?.zone ?? null,
    station: state.place?.station ?? '', opened: fact.happened,
  };
  const isShort = fact.takenFor !== undefined && !state.shorts.some((one) => one.short === short.short);
  return noChange({
    ...state, parts: state.parts.filter((part) => part !== removed), partsOut: [...state.partsOut, out], shorts: isShort ? [...state.shorts, short] : state.shorts,
    checks: worked(state.checks, kind?.zone ?? null, fact.happened, plant),
  });
}
