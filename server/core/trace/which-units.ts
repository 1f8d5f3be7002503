import type { PartState } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { Instant } from '../units.ts';
import { inRange } from './component-range.ts';

/** Which components, by kind, number and lot, in units built when. What is null is not asked. */
export interface TraceQuery {
  part: string | null;
  from: string | null;
  to: string | null;
  lot: string | null;
  /** Instants; a unit was built in [builtFrom, builtTo). */
  builtFrom: Instant | null;
  builtTo: Instant | null;
}

export interface TracedUnit {
  state: UnitState;
  /** When it left the main line last, or null while it has not. */
  built: Instant | null;
}

/** A component in a unit, or, where no component was asked for, the unit. */
export interface TraceRow {
  unit: string;
  vin: string | null;
  model: string | null;
  part: string | null;
  number: string | null;
  lot: string | null;
  fitted: Instant | null;
  /** When it was taken out again, and the unit it was taken for. */
  removed: Instant | null;
  takenFor: string | null;
  takenFrom: string | null;
  built: Instant | null;
  stage: UnitState['stage'];
  /** Where it stands now, or null. */
  where: string | null;
  shipped: Instant | null;
  dealer: string;
  carrier: string;
}

/** Units that have, or had, what is asked for, and where they are now; in the order of component numbers, then of serials. */
export function whichUnits(units: readonly TracedUnit[], query: TraceQuery): TraceRow[] {
  const ofParts = query.part !== null || query.from !== null || query.to !== null || query.lot !== null;
  const wanted = units.filter(({ built }) => (query.builtFrom === null && query.builtTo === null)
    || (built !== null && (query.builtFrom === null || built >= query.builtFrom) && (query.builtTo === null || built < query.builtTo)));
  const rows = wanted.flatMap((unit) => (ofParts ? componentsOf(unit, query) : [rowOf(unit, null, null, null)]));
  return rows.sort((a, b) => compareText(a.part, b.part) || (a.number === b.number ? 0 : inRange(a.number ?? '', null, b.number ?? '') ? -1 : 1) || compareText(a.unit, b.unit));
}

function componentsOf(unit: TracedUnit, { part, from, to, lot }: TraceQuery): TraceRow[] {
  const matches = (one: PartState): boolean => (part === null || one.part === part) && (lot === null || one.lot.toUpperCase() === lot.toUpperCase()) && inRange(one.number, from, to);
  const { parts, partsOut } = unit.state;
  return [
    ...parts.filter(matches).map((one) => rowOf(unit, one, null, null)),
    ...partsOut.filter(matches).map((one) => rowOf(unit, one, one.removed.at, one.removed.takenFor)),
  ];
}

function rowOf({ state, built }: TracedUnit, part: PartState | null, removed: Instant | null, takenFor: string | null): TraceRow {
  const { unit, vin, model, stage, place, shipped, dealer, carrier } = state;
  return {
    unit, vin, model, part: part?.part ?? null, number: part?.number ?? null, lot: part?.lot ?? null, fitted: part?.at ?? null, removed, takenFor, takenFrom: part?.takenFrom ?? null,
    built, stage, where: place ? `${place.station} ${place.slot}`.trim() : null, shipped, dealer, carrier,
  };
}

function compareText(a: string | null, b: string | null): number {
  return (a ?? '') < (b ?? '') ? -1 : (a ?? '') > (b ?? '') ? 1 : 0;
}
