import { invariant } from '../invariant.ts';
import { MS_PER_MINUTE } from '../units.ts';
import type { CalendarTable } from './calendar-table.ts';
import { compileSteps } from './compile-steps.ts';
import { type CompiledHolds, type CompiledLine, type CompiledStages, type CompiledStations, type CompiledUnits, SHIPPING } from './compiled-line.ts';
import { constantTable, type DrawTable, residualTable } from './draw-table.ts';
import type { ForecastInput, ForecastUnit, OpenHold } from './forecast-input.ts';
import { streamKey } from './random.ts';
import { createTableStore, type TableStore } from './table-store.ts';

/** The line of `input` in flat typed arrays (definitions §6). Throws when a route names a station that is not there. */
export function compileLine(input: ForecastInput): CompiledLine {
  const store = createTableStore();
  const calendars: CalendarTable[] = [input.calendar];
  const calendarIndex = (calendar: CalendarTable | null): number => {
    if (calendar === null) return 0;
    const known = calendars.indexOf(calendar);
    return known >= 0 ? known : calendars.push(calendar) - 1;
  };
  const stations = compileStations(input, calendarIndex);
  const { steps, chances } = compileSteps(input, store);
  const stages = compileStages(input, store, calendarIndex);
  const holds = compileHolds(input, steps.first, store);
  const units = compileUnits(input, store);
  return {
    at: input.at, together: input.roll === 'together', wallClock: stations.calendar.some((index) => index !== 0),
    pace: input.pace, tables: store.all(), calendars, stations, units, steps, chances, holds, stages,
  };
}

function compileStations(input: ForecastInput, calendarIndex: (calendar: CalendarTable | null) => number): CompiledStations {
  const { stations, stages } = input;
  const shortest = Math.min(...input.units.map(({ length }) => length).filter((length) => length > 0));
  const capacity = Int32Array.from(stations, (station) => (station.placeLength === null ? (station.capacity ?? 0) : 0));
  const mayPass = Uint8Array.from(stations, (station) => Number(station.unitsMayPass));
  const kept = stations.map(({ placeLength }, i) => {
    if (placeLength !== null) return Math.min(input.units.length, Number.isFinite(shortest) ? Math.floor(placeLength / shortest) + 1 : 1);
    return Math.max(Math.min(capacity[i]!, input.units.length), mayPass[i] ? 0 : 1);
  });
  return {
    codes: [...stations, ...stages].map(({ code }) => code), count: stations.length, capacity, mayPass, kept: Int32Array.from(kept),
    placeLength: Float64Array.from(stations, (station) => station.placeLength ?? Number.NaN),
    calendar: Int32Array.from(stations, (station) => calendarIndex(station.calendar)),
  };
}

function compileStages({ stages, units }: ForecastInput, store: TableStore, calendarIndex: (calendar: CalendarTable) => number): CompiledStages {
  return {
    ...store.draws(stages.map(({ minutes }) => minutes)),
    capacity: Int32Array.from(stages, ({ capacity }) => capacity ?? 0), calendar: Int32Array.from(stages, ({ calendar }) => calendarIndex(calendar)),
    probability: Float64Array.from(units.flatMap(({ ofStages }) => stages.map(({ code, probability }) => ofStages?.[code]?.probability ?? probability))),
    scale: Float64Array.from(units.flatMap(({ ofStages }) => stages.map(({ code }) => ofStages?.[code]?.scale ?? 1))), mends: Uint8Array.from(stages, ({ mends }) => Number(mends)),
    ready: stages.findLastIndex(({ ready }) => ready),
  };
}

function compileHolds({ units }: ForecastInput, firstStep: Int32Array, store: TableStore): CompiledHolds {
  const first = new Int32Array(units.length + 1);
  const held: { hold: OpenHold; before: number; key: [number, number] }[] = [];
  units.forEach((unit, u) => {
    for (const hold of unit.holds) {
      const before = beginsAfter(unit, hold, firstStep[u]!, firstStep[u + 1]!);
      if (before !== null) held.push({ hold, before, key: streamKey(unit.unit, hold.id) });
    }
    first[u + 1] = held.length;
  });
  return {
    ...store.draws(held.map(({ hold }) => hold.left)), first, before: Int32Array.from(held, ({ before }) => before), ids: held.map(({ hold }) => hold.id),
    fixed: new Float64Array(held.length).fill(Number.NaN), low: Uint32Array.from(held, ({ key }) => key[0]), high: Uint32Array.from(held, ({ key }) => key[1]),
  };
}

/** What the unit may not begin before the hold is cleared; null when the hold keeps it from nothing that is still to come. */
function beginsAfter(unit: ForecastUnit, hold: OpenHold, first: number, end: number): number | null {
  const standing = unit.here && unit.stage === null;
  if (hold.keepsFrom === 'shipping') return SHIPPING;
  if (hold.keepsFrom === 'work') return standing && unit.worked === null ? first + 1 : first;
  if (hold.keepsFrom === 'leaving') return standing ? first + 1 : first;
  const from = unit.stage !== null ? -1 : unit.here ? unit.reached : unit.reached + 1;
  const named = unit.route.findIndex(({ station }, j) => from >= 0 && j >= from + Number(standing) && station === hold.fromStation);
  return named < 0 ? null : Math.min(end, first + named - from);
}

function compileUnits(input: ForecastInput, store: TableStore): CompiledUnits {
  const { units, stages } = input;
  const stage = Int32Array.from(units, (unit) => (unit.stage === null ? -1 : stages.findIndex(({ code }) => code === unit.stage!.code)));
  const left = units.map(({ stage: at, ofStages }, u): DrawTable => {
    invariant(at === null || stage[u]! >= 0, `no stage ${at?.code}`);
    const scale = at === null ? 1 : (ofStages?.[at.code]?.scale ?? 1);
    return at?.standing ? residualTable(Array.from(stages[stage[u]!]!.minutes, (minutes) => minutes * scale), at.worked) : constantTable(0);
  });
  const keys = units.map(({ unit }) => streamKey(unit, ''));
  const shorts = units.flatMap(({ openShorts }) => openShorts);
  const firstShort = new Int32Array(units.length + 1);
  units.forEach(({ openShorts }, u) => (firstShort[u + 1] = firstShort[u]! + openShorts.length));
  return {
    names: units.map(({ unit }) => unit), length: Float64Array.from(units, ({ length }) => length), onLine: Uint8Array.from(units, ({ reached }) => Number(reached >= 0)),
    release: releases(input), promise: Float64Array.from(units, ({ promise }) => (promise === null ? Number.NaN : (promise - input.at) / MS_PER_MINUTE)),
    stage, stageStanding: Uint8Array.from(units, (unit) => Number(unit.stage?.standing ?? false)), stageLeft: store.draws(left),
    firstShort, shorts: store.draws(shorts), low: Uint32Array.from(keys, (key) => key[0]), high: Uint32Array.from(keys, (key) => key[1]),
  };
}

/** Planned releases: the schedule's; where it has none, one pace after the release before; never before now (definitions §5). */
function releases({ units, roll, pace, lastRelease }: ForecastInput): Float64Array {
  let released = lastRelease;
  let first = true;
  return Float64Array.from(units, ({ reached, stage, plannedRelease }) => {
    if (reached >= 0 || stage !== null) return 0;
    if (plannedRelease === null && roll === 'together' && !first) return Number.NaN;
    first = false;
    released = Math.max(0, plannedRelease ?? (released === null ? 0 : released + pace));
    return released;
  });
}
