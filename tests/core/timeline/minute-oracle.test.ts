import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import type { LineHistory, Stay, UnitHistory } from '../../../server/core/timeline/line-history.ts';
import { aLine, aPlant, aStation, minute, MONDAY, setupOf } from '../../support/given.ts';
import { type OracleCase, type OracleStay, oracleVisits } from '../../support/minute-oracle.ts';

const STATIONS = 4;
const DAY_WITH_BREAKS = {
  code: 'always',
  shifts: [{ name: 'All day', start: '00:00', end: '24:00', breaks: [{ start: '00:20', end: '00:27' }, { start: '01:30', end: '01:45' }],
    weekdays: ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as ('mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat' | 'sun')[] }],
  exceptions: [],
};
const pause = (m: number): boolean => (m >= 20 && m < 27) || (m >= 90 && m < 105);

interface Draw { start: number; steps: { lasts: number; finish: number | null; gap: number; skip: boolean }[]; stayAtEnd: boolean }

/** Stays in an order that a floor could produce and often should not: overtaking, over capacity, skipped stations, open ends. */
function staysOf(draws: Draw[]): OracleStay[] {
  const stays: OracleStay[] = [];
  draws.forEach(({ start, steps, stayAtEnd }, unit) => {
    let now = start;
    steps.forEach(({ lasts, finish, gap, skip }, station) => {
      if (skip) return;
      const last = steps.slice(station + 1).every((step) => step.skip);
      const left = last && stayAtEnd ? null : now + lasts;
      stays.push({ unit, station, arrived: now, finished: finish === null ? null : now + Math.min(lasts, finish), left });
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

const step = fc.record({ lasts: fc.integer({ min: 1, max: 30 }), finish: fc.option(fc.integer({ min: 1, max: 30 })), gap: fc.constantFrom(0, 0, 0, 1, 5), skip: fc.constantFrom(false, false, false, false, true) });
const draw = fc.record({ start: fc.nat(80), steps: fc.array(step, { minLength: STATIONS, maxLength: STATIONS }), stayAtEnd: fc.boolean() });
const interval = { opened: fc.nat(150), lasts: fc.option(fc.integer({ min: 1, max: 60 })) };
const anyCase: fc.Arbitrary<OracleCase> = fc.record({
  draws: fc.array(draw, { minLength: 1, maxLength: 5 }), capacity: fc.array(fc.constantFrom(1, 1, 2), { minLength: STATIONS, maxLength: STATIONS }),
  mayPass: fc.array(fc.boolean(), { minLength: STATIONS, maxLength: STATIONS }), standard: fc.array(fc.integer({ min: 1, max: 25 }), { minLength: STATIONS, maxLength: STATIONS }),
  together: fc.boolean(), at: fc.integer({ min: 40, max: 200 }),
  holds: fc.array(fc.record({ unit: fc.nat(4), keeps: fc.constantFrom('work' as const, 'leaving' as const, 'station' as const, 'shipping' as const), from: fc.nat(3), ...interval }), { maxLength: 4 }),
  stops: fc.array(fc.record({ station: fc.nat(3), ...interval }), { maxLength: 4 }),
}).map(({ draws, holds, stops, ...rest }) => ({
  ...rest, pause, stays: staysOf(draws),
  holds: holds.map(({ lasts, from, ...hold }, i) => ({ ...hold, id: `h${i}`, from: hold.keeps === 'station' ? from : null, cleared: lasts === null ? null : hold.opened + lasts })),
  stops: stops.map(({ lasts, ...stop }, i) => ({ ...stop, id: `s${i}`, cleared: lasts === null ? null : stop.opened + lasts })),
}));

function historyOf(input: OracleCase): LineHistory {
  const name = (station: number): string => `S${station}`;
  const line = aLine(input.capacity.map((capacity, i) => aStation(name(i), { capacity, unitsMayPass: input.mayPass[i]! })), { roll: input.together ? 'together' : 'asReady' });
  const standards = Object.fromEntries(input.standard.map((standard, i) => [name(i), standard]));
  const setups = setupOf(aPlant(line, standards, { calendars: [DAY_WITH_BREAKS] }));
  const instant = (m: number | null) => (m === null ? null : minute(m));
  const units = new Map<number, UnitHistory>();
  for (const stay of input.stays) {
    const unit = units.get(stay.unit) ?? { unit: `U${stay.unit}`, model: 'M', options: [], sequence: stay.unit, plannedRelease: null, stays: [], holds: [], offLine: [], gone: null };
    units.set(stay.unit, unit);
    const told: Stay = {
      unit: unit.unit, line: 'MAIN', station: name(stay.station), arrived: minute(stay.arrived), arrivedBy: `${stay.unit}-${stay.station}`,
      finished: instant(stay.finished), left: instant(stay.left), leftHow: stay.left === null ? null : 'implied',
    };
    unit.stays.push(told);
  }
  for (const hold of input.holds) {
    units.get(hold.unit)?.holds.push({
      id: hold.id, unit: `U${hold.unit}`, reason: '', keepsFrom: hold.keeps, fromStation: hold.from === null ? null : name(hold.from), opened: minute(hold.opened), cleared: instant(hold.cleared),
    });
  }
  const stops = input.stops.map(({ id, station, opened, cleared }) => ({ id, station: name(station), reason: '', opened: minute(opened), cleared: instant(cleared) }));
  return { line: 'MAIN', setups, units: [...units.values()], stops, floorTime: [] };
}

describe('deriveVisits', () => {
  it('tells the minutes that a walk through every minute tells', () => {
    fc.assert(fc.property(anyCase, (input) => {
      const told = deriveVisits(historyOf(input), minute(input.at)).filter((visit) => !visit.notScanned);
      const m = (t: number | null) => (t === null ? null : (t - MONDAY) / 60_000);
      const ours = told.map((visit) => ({
        unit: Number(visit.unit.slice(1)), station: Number(visit.station.slice(1)), left: m(visit.left), finished: m(visit.finished), assumed: visit.finishAssumed,
        ...Object.fromEntries(Object.entries(visit.minutes).map(([state, minutes]) => [state, Math.round(minutes * 1e6) / 1e6])),
        owners: Object.fromEntries(visit.causes.map((cause) => [cause.id, Math.round(cause.minutes * 1e6) / 1e6])),
      }));
      const key = (visit: { unit: number; station: number }) => visit.unit * 10 + visit.station;
      const sorted = <T extends { unit: number; station: number }>(visits: T[]) => [...visits].sort((a, b) => key(a) - key(b));
      expect(sorted(ours)).toEqual(sorted(oracleVisits(input)));
    }), { numRuns: 4_000 });
  }, 120_000);
});
