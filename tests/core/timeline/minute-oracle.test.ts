import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../../server/core/timeline/line-history.ts';
import { stationTime } from '../../../server/core/timeline/station-time.ts';
import { aLine, aPlant, aStation, at, minute, MONDAY, registered, setupOf } from '../../support/given.ts';
import { oracleFreePlaces, type OracleCase, type OracleStay, oracleVisits } from '../../support/minute-oracle.ts';

const STATIONS = 4;
const UNITS = 5;
const DAY_WITH_BREAKS = {
  code: 'always',
  shifts: [{ name: 'All day', start: '00:00', end: '24:00', breaks: [{ start: '00:20', end: '00:27' }, { start: '01:30', end: '01:45' }],
    weekdays: ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as ('mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat' | 'sun')[] }],
  exceptions: [],
};
const pause = (m: number): boolean => (m >= 20 && m < 27) || (m >= 90 && m < 105);

/** A stay, and whether it ended by being pulled off the line, to be put back where the next stay of the unit is. */
type DrawnStay = OracleStay & { pulledOff: boolean };
interface Step { lasts: number; finish: number | null; gap: number; skip: boolean; pull: { after: number; off: number } | null }
interface Draw { start: number; steps: Step[]; stayAtEnd: boolean; length: number; gone: number | null }
type Drawn = Omit<OracleCase, 'stays'> & { stays: DrawnStay[] };

/** Stays in an order that a floor could produce and often should not: overtaking, over capacity, skipped stations, pull-offs, open ends. */
function staysOf(draws: Draw[]): DrawnStay[] {
  const stays: DrawnStay[] = [];
  draws.forEach(({ start, steps, stayAtEnd }, unit) => {
    let now = start;
    steps.forEach(({ lasts, finish, gap, skip, pull }, station) => {
      if (skip) return;
      if (pull) {
        stays.push({ unit, station, arrived: now, finished: null, left: now + pull.after, pulledOff: true });
        now += pull.after + pull.off;
      }
      const last = steps.slice(station + 1).every((step) => step.skip);
      const left = last && stayAtEnd ? null : now + lasts;
      stays.push({ unit, station, arrived: now, finished: finish === null ? null : now + Math.min(lasts, finish), left, pulledOff: false });
      now += lasts + gap;
    });
  });
  // Two arrivals at a station in one minute have no order in whole minutes: the first of them is kept.
  const seen = new Set<string>();
  return stays.filter((stay) => {
    const key = `${stay.station}:${stay.arrived}`;
    return !seen.has(key) && seen.add(key);
  });
}

const step: fc.Arbitrary<Step> = fc.record({
  lasts: fc.integer({ min: 1, max: 30 }), finish: fc.option(fc.integer({ min: 1, max: 30 })), gap: fc.constantFrom(0, 0, 0, 1, 5), skip: fc.constantFrom(false, false, false, false, true),
  pull: fc.option(fc.record({ after: fc.integer({ min: 1, max: 20 }), off: fc.integer({ min: 1, max: 20 }) }), { freq: 5 }),
});
const draw: fc.Arbitrary<Draw> = fc.record({
  start: fc.nat(80), steps: fc.array(step, { minLength: STATIONS, maxLength: STATIONS }), stayAtEnd: fc.boolean(), length: fc.constantFrom(6, 8, 11), gone: fc.option(fc.nat(20)),
});
const interval = { opened: fc.nat(150), lasts: fc.option(fc.integer({ min: 1, max: 60 })) };
const perStation = <T>(of: fc.Arbitrary<T>): fc.Arbitrary<T[]> => fc.array(of, { minLength: STATIONS, maxLength: STATIONS });
const anyCase: fc.Arbitrary<Drawn> = fc.record({
  draws: fc.array(draw, { minLength: 1, maxLength: UNITS }), capacity: perStation(fc.constantFrom(1, 1, 2)), placeLength: perStation(fc.constantFrom(null, null, null, 10, 17, 20)),
  mayPass: perStation(fc.boolean()), standard: perStation(fc.integer({ min: 1, max: 25 })), together: fc.boolean(), at: fc.integer({ min: 40, max: 200 }),
  holds: fc.array(fc.record({ unit: fc.nat(4), keeps: fc.constantFrom('work' as const, 'leaving' as const, 'station' as const, 'shipping' as const), from: fc.nat(3), ...interval }), { maxLength: 4 }),
  stops: fc.array(fc.record({ station: fc.nat(3), ...interval }), { maxLength: 4 }),
}).map(({ draws, holds, stops, ...rest }) => {
  const stays = staysOf(draws);
  const gone = draws.map((own, unit) => {
    const last = stays.filter((stay) => stay.unit === unit).at(-1);
    return own.gone === null || !last || last.left === null ? null : last.left + own.gone;
  });
  return {
    ...rest, pause, stays, gone, unitLength: draws.map(({ length }) => length),
    holds: holds.map(({ lasts, from, ...hold }, i) => ({ ...hold, id: `h${i}`, from: hold.keeps === 'station' ? from : null, cleared: lasts === null ? null : hold.opened + lasts })),
    stops: stops.map(({ lasts, ...stop }, i) => ({ ...stop, id: `s${i}`, cleared: lasts === null ? null : stop.opened + lasts })),
  };
});

const stationName = (station: number): string => `S${station}`;
const unitName = (unit: number): string => `U${unit}`;

/** What the floor would have scanned for these stays, holds and stops. */
function factsOf(input: Drawn): Fact[] {
  const facts: Fact[] = input.unitLength.map((length, unit) => registered(unitName(unit), { model: `M${length}`, sequence: unit }));
  input.unitLength.forEach((_, number) => {
    const own = input.stays.filter((stay) => stay.unit === number);
    own.forEach((stay, i) => {
      const [unit, station] = [unitName(number), stationName(stay.station)];
      facts.push(own[i - 1]?.pulledOff ? at(stay.arrived, 'putBack', { unit, station }) : at(stay.arrived, 'arrive', { unit, station }));
      if (stay.finished !== null) facts.push(at(stay.finished, 'finish', { unit, station }));
      if (stay.left === null) return;
      if (stay.pulledOff) facts.push(at(stay.left, 'pullOff', { unit, reason: 'Leak', to: null }));
      // An arrival elsewhere in the same minute implies the leave.
      else if (own[i + 1]?.arrived !== stay.left) facts.push(at(stay.left, 'leave', { unit, station }));
    });
    const gone = input.gone[number] ?? null;
    if (gone !== null) facts.push(at(gone, 'ship', { unit: unitName(number), carrier: '' }));
  });
  for (const { id, unit: number, keeps, from, opened, cleared } of input.holds) {
    const unit = unitName(number);
    facts.push(at(opened, 'openHold', { unit, reason: 'Part missing', keepsFrom: keeps, fromStation: from === null ? null : stationName(from), note: '' }, { id }));
    if (cleared !== null) facts.push(at(cleared, 'clearHold', { unit, hold: id, note: '' }));
  }
  for (const { id, station, opened, cleared } of input.stops) {
    facts.push(at(opened, 'openStop', { station: stationName(station), reason: 'Tool broken', note: '' }, { id }));
    if (cleared !== null) facts.push(at(cleared, 'clearStop', { station: stationName(station), stop: id, note: '' }));
  }
  return facts;
}

function historyOf(input: Drawn): LineHistory {
  const stations = input.capacity.map((capacity, i) => {
    const placeLength = input.placeLength[i]!;
    return aStation(stationName(i), { capacity: placeLength === null ? capacity : null, placeLength, unitsMayPass: input.mayPass[i]! });
  });
  const standards = Object.fromEntries(input.standard.map((standard, i) => [stationName(i), standard]));
  const models = [6, 8, 11].map((length) => ({ code: `M${length}`, name: `M${length}`, length, standards }));
  const setups = setupOf(aPlant(aLine(stations, { roll: input.together ? 'together' : 'asReady' }), standards, { calendars: [DAY_WITH_BREAKS], models }));
  return lineHistoryOf('MAIN', setups, factsOf(input));
}

const inMinutes = (t: number | null): number | null => (t === null ? null : (t - MONDAY) / 60_000);
const rounded = (minutes: number): number => Math.round(minutes * 1e6) / 1e6;

describe('the minutes that a walk through every minute tells', () => {
  it('are those of the visits', () => {
    fc.assert(fc.property(anyCase, (input) => {
      const told = deriveVisits(historyOf(input), minute(input.at)).filter((visit) => !visit.notScanned);
      const ours = told.map((visit) => ({
        unit: Number(visit.unit.slice(1)), station: Number(visit.station.slice(1)), arrived: inMinutes(visit.arrived)!, left: inMinutes(visit.left), finished: inMinutes(visit.finished), assumed: visit.finishAssumed,
        ...Object.fromEntries(Object.entries(visit.minutes).map(([state, minutes]) => [state, rounded(minutes)])),
        owners: Object.fromEntries(visit.causes.map((cause) => [cause.id, rounded(cause.minutes)])),
      }));
      const key = (visit: { unit: number; arrived: number }) => visit.unit * 10_000 + visit.arrived;
      const sorted = <T extends { unit: number; arrived: number }>(visits: T[]) => [...visits].sort((a, b) => key(a) - key(b));
      expect(sorted(ours)).toEqual(sorted(oracleVisits(input)));
    }), { numRuns: 1_500 });
  }, 120_000);

  it('are those of the free places, starved and idle', () => {
    fc.assert(fc.property(anyCase, fc.nat(60), (input, from) => {
      fc.pre(from < input.at);
      const ours = stationTime(historyOf(input), minute(from), minute(input.at)).map(({ station, starved, idle }) => ({ station: Number(station.slice(1)), starved: rounded(starved), idle: rounded(idle) }));
      expect(ours).toEqual(oracleFreePlaces(input, from));
    }), { numRuns: 1_000 });
  }, 120_000);
});

describe('what the walk is over', () => {
  const cases = fc.sample(anyCase, { numRuns: 400, seed: 7 });
  it('has pull-offs, places measured by length that are full and that are not, units that are gone, and free minutes of both kinds', () => {
    expect(cases.filter(({ stays }) => stays.some((stay) => stay.pulledOff)).length).toBeGreaterThan(100);
    expect(cases.filter(({ gone }) => gone.some((m) => m !== null)).length).toBeGreaterThan(100);
    expect(cases.filter(({ placeLength, stays }) => stays.some((stay) => placeLength[stay.station] !== null)).length).toBeGreaterThan(100);
    const free = cases.flatMap((input) => oracleFreePlaces(input, 0));
    expect(free.filter(({ starved }) => starved > 0).length).toBeGreaterThan(100);
    expect(free.filter(({ idle }) => idle > 0).length).toBeGreaterThan(100);
  });
});
