import { describe, expect, it } from 'vitest';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import { projectLine } from '../../../server/core/delay/projection.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import deterministic from '../../published/lines-deterministic.json' with { type: 'json' };
import downtime from '../../published/downtime-loss.json' with { type: 'json' };
import { aLine, aPlant, aStation, minute, setupOf } from '../../support/given.ts';
import { simulateLine, type SimLine, unitCode } from '../../support/simulated-line.ts';

// tests/published/downtime-loss.json: permanent delay and opportunity window of stops, after Chang, Biller and Xiao (2010) and followers.
// tests/published/lines-deterministic.json: start, finish and leave of every unit of five lines with blocking after service.

/** Places between stations are staging stations of that many places and no work. */
function withPlaces(cycle: readonly number[], places: readonly number[]): { standard: number[]; capacity: number[]; at: number[] } {
  const line = { standard: [] as number[], capacity: [] as number[], at: [] as number[] };
  cycle.forEach((minutes, i) => {
    line.at.push(line.standard.length);
    line.standard.push(minutes);
    line.capacity.push(1);
    if ((places[i] ?? 0) === 0) return;
    line.standard.push(0);
    line.capacity.push(places[i]!);
  });
  return line;
}

describe('the projection at standard of published lines', () => {
  it.each(deterministic.cases)('$id', ({ process, buffers, start, finish, depart, exit }) => {
    const { standard, capacity, at } = withPlaces(process[0]!, buffers);
    const stations = standard.map((_, i) => aStation(`S${i + 1}`, { capacity: capacity[i]!, kind: at.includes(i) ? 'build' : 'staging' }));
    const models = process.map((own, unit) => ({ code: `M${unit}`, name: '', length: 8, standards: Object.fromEntries(withPlaces(own, buffers).standard.map((minutes, i) => [`S${i + 1}`, minutes])) }));
    const setups = setupOf(aPlant(aLine(stations), {}, { models }));
    const units = process.map((_, unit) => ({ unit: unitCode(unit), model: `M${unit}`, options: [], sequence: unit, plannedRelease: minute(0), stays: [], holds: [], offLine: [], gone: null }));
    const history: LineHistory = { line: 'MAIN', setups, units, stops: [], floorTime: [] };
    const told = projectLine(history, [], minute(0));
    const at0 = (t: number): number => (t - minute(0)) / 60_000;
    expect(told.map((unit) => at0(unit.exit))).toEqual(exit);
    const places = told.map((unit) => at.map((station) => unit.places[station]!));
    expect(places.map((unit) => unit.map((place) => at0(place.arrive)))).toEqual(start);
    expect(places.map((unit) => unit.map((place) => at0(place.finish)))).toEqual(finish);
    expect(places.map((unit) => unit.map((place) => at0(place.leave)))).toEqual(depart);
  });
});

const UNITS = 200;
const AT = 600;
const UNTIL = 2_400;
interface Stop { id: string; station: number; from: number; minutes: number }

function stopped(cycle: readonly number[], places: readonly number[], stops: Stop[]) {
  const { standard, capacity, at } = withPlaces(cycle, places);
  const unit = { planned: 0, there: 0, work: standard, lag: standard.map(() => 0) };
  const sim: SimLine = {
    standard, capacity, pace: 10, units: Array.from({ length: UNITS }, () => unit), holds: [], pulls: [], until: UNTIL,
    stops: stops.map(({ id, station, from, minutes }) => ({ id, station: at[station - 1]!, from, to: from + minutes })),
  };
  return lineDelay(simulateLine(sim), minute(0), minute(UNTIL));
}

describe('what a stop costs the line, beside published values', () => {
  for (const { name, cycle, places, stations } of downtime.lines) {
    it.each(stations as { station: number; opportunityWindow: number | null; loss: number[][] }[])(`${name}: a stop of station $station`, ({ station, opportunityWindow, loss }) => {
      const lengths = loss.map(([minutes]) => minutes!);
      const cost = (minutes: number): number => {
        const { causes, totalMinutes } = stopped(cycle, places, [{ id: 'stop', station, from: AT, minutes }]);
        expect(causes.map(({ kind, cause, lineMinutes }) => [kind, cause, lineMinutes])).toEqual([['stop', 'stop', totalMinutes]]);
        return totalMinutes;
      };
      expect(lengths.map((minutes) => [minutes, cost(minutes)])).toEqual(loss);
      // The longest stop that costs nothing.
      if (opportunityWindow !== null) expect([cost(opportunityWindow), cost(opportunityWindow + 1)]).toEqual([0, 1]);
    });
  }

  it('charges stops that overlap what each adds, in the order in which they began', () => {
    const { cycle, places } = downtime.lines[0]!;
    const { permanentDelay, ...stops } = downtime.joint;
    const of = (names: string): Stop[] => names.split('+').map((id) => {
      const [station, from, minutes] = stops[id as 'A'];
      return { id, station: station!, from: from!, minutes: minutes! };
    });
    for (const [names, delay] of Object.entries(permanentDelay)) {
      const { causes, totalMinutes } = stopped(cycle, places, of(names));
      expect(totalMinutes).toBe(delay);
      let before = 0;
      for (const [i, { cause, lineMinutes }] of causes.entries()) {
        const soFar = names.split('+').slice(0, i + 1).join('+') as 'A';
        expect([cause, lineMinutes]).toEqual([names.split('+')[i], permanentDelay[soFar] - before]);
        before = permanentDelay[soFar];
      }
    }
  });
});
