import type { ForecastInput, ForecastUnit } from '../../server/core/forecast/forecast-input.ts';

/** Work of a unit at a station, in place of a draw. */
export type WorkOf = (unit: ForecastUnit, station: string, standard: number) => number;

/** Work at standard, less what is done where the unit stands. */
export const atStandard: WorkOf = (unit, station, standard) => {
  const standing = unit.here && unit.route[unit.reached]?.station === station;
  if (!standing) return standard;
  return unit.worked === null ? 0 : Math.max(0, standard - unit.worked);
};

/** When each unit leaves the line's end, by definitions §5 word for word: every leave of every station kept and sorted. Known work, no holds, one calendar. */
export function oracleExits(input: ForecastInput, workOf: WorkOf = atStandard): Record<string, number> {
  return input.roll === 'together' ? together(input, workOf) : asReady(input, workOf);
}

function asReady({ stations, units, pace, lastRelease }: ForecastInput, workOf: WorkOf): Record<string, number> {
  const leaves: Record<string, { at: number; length: number }[]> = Object.fromEntries(stations.map(({ code }) => [code, []]));
  const exits: Record<string, number> = {};
  let released = lastRelease;
  for (const unit of units) {
    let ready = 0;
    if (unit.reached < 0) released = ready = Math.max(0, unit.plannedRelease ?? (released === null ? 0 : released + pace));
    let before: string | null = null;
    const from = unit.here ? unit.reached : unit.reached + 1;
    unit.route.slice(from).forEach(({ station: code, standard }, i) => {
      const standing = unit.here && i === 0;
      const arrive: number = standing ? 0 : Math.max(ready, freeAt(input(code), leaves[code]!, unit.length), before === null ? 0 : turn(before));
      if (before !== null) leaves[before]!.push({ at: arrive, length: unit.length });
      ready = arrive + workOf(unit, code, standard);
      before = code;
    });
    if (before !== null) {
      ready = Math.max(ready, turn(before));
      leaves[before]!.push({ at: ready, length: unit.length });
    }
    exits[unit.unit] = ready;
  }
  return exits;

  function input(code: string): ForecastInput['stations'][number] {
    return stations.find((station) => station.code === code)!;
  }
  function turn(code: string): number {
    return input(code).unitsMayPass ? 0 : Math.max(0, ...leaves[code]!.map(({ at }) => at));
  }
}

/** Tries each leave as the instant of arrival, from the earliest: is there a place once those have left that leave by then? */
function freeAt({ capacity, placeLength }: ForecastInput['stations'][number], leaves: readonly { at: number; length: number }[], length: number): number {
  const fits = (at: number): boolean => {
    const standing = leaves.filter((leave) => leave.at > at);
    if (placeLength !== null) return standing.length === 0 || standing.reduce((sum, other) => sum + other.length, length) <= placeLength;
    return capacity === null || standing.length < capacity;
  };
  return [0, ...leaves.map(({ at }) => at)].sort((a, b) => a - b).find(fits)!;
}

function together({ units, pace, lastRelease }: ForecastInput, workOf: WorkOf): Record<string, number> {
  const exits: Record<string, number> = {};
  let standing = units.filter(({ reached }) => reached >= 0).map((unit) => {
    const j = unit.here ? unit.reached : unit.reached + 1;
    return { unit, j, finish: workOf(unit, unit.route[j]!.station, unit.route[j]!.standard) };
  });
  const waiting = units.filter(({ reached }) => reached < 0);
  let last = lastRelease ?? -pace;
  while (standing.length + waiting.length > 0) {
    const entering = waiting.shift();
    const roll = Math.max(0, entering ? (entering.plannedRelease ?? last + pace) : 0, ...standing.map(({ finish }) => finish));
    const next: typeof standing = [];
    for (const { unit, j } of [...standing, ...(entering ? [{ unit: entering, j: -1 }] : [])]) {
      const step = unit.route[j + 1];
      if (step) next.push({ unit, j: j + 1, finish: roll + workOf(unit, step.station, step.standard) });
      else exits[unit.unit] = roll;
    }
    if (entering) last = roll;
    standing = next;
  }
  return exits;
}
