import fc from 'fast-check';
import { lineHistoryOf } from '../../server/core/facts/line-history-of.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { deriveVisits } from '../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../server/core/timeline/line-history.ts';
import type { Visit } from '../../server/core/timeline/visit.ts';
import type { Instant } from '../../server/core/units.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from './given.ts';

export const STATIONS = ['A', 'B', 'C'] as const;
/** Two shifts that do not touch, with a break in each; nobody works on Sunday. */
const TWO_SHIFTS = {
  code: 'always', exceptions: [],
  shifts: [
    { name: 'Day', start: '06:00', end: '14:00', breaks: [{ start: '09:00', end: '09:20' }], weekdays: ['mon', 'tue', 'wed', 'thu', 'fri', 'sat'] as ('mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat')[] },
    { name: 'Night', start: '20:00', end: '02:00', breaks: [{ start: '23:00', end: '23:30' }], weekdays: ['mon', 'tue', 'wed', 'thu', 'fri'] as ('mon' | 'tue' | 'wed' | 'thu' | 'fri')[] },
  ],
};
export const setups = setupOf(aPlant(aLine([aStation('A'), aStation('B', { capacity: 2 }), aStation('C')]), { A: 25, B: 30, C: 20 }, {
  calendars: [TWO_SHIFTS], models: [{ code: 'M', name: 'M', length: 8, standards: { A: 25, B: 30, C: 20 } }, { code: 'N', name: 'N', length: 9, standards: { A: 40, B: 10, C: 30 } }],
}));

interface UnitDraw { start: number; model: string; steps: { lasts: number; finish: number | null; skip: boolean }[]; open: boolean }

function factsOf(draws: UnitDraw[], holds: Trouble[], stops: Trouble[]): Fact[] {
  const facts: Fact[] = [];
  draws.forEach(({ start, model, steps, open }, i) => {
    const unit = `U${i}`;
    facts.push(registered(unit, { model, sequence: i }));
    let now = start;
    steps.forEach(({ lasts, finish, skip }, s) => {
      if (skip) return;
      const station = STATIONS[s]!;
      facts.push(at(now, 'arrive', { unit, station }));
      if (finish !== null) facts.push(at(now + Math.min(lasts, finish), 'finish', { unit, station }));
      now += lasts;
      if (s === 2 && !open) facts.push(at(now, 'leave', { unit, station }));
    });
  });
  for (const { who, opened, lasts, reason } of holds) {
    const hold = at(opened, 'openHold', { unit: `U${who}`, reason, keepsFrom: who % 2 === 0 ? 'work' : 'leaving', fromStation: null, note: '' });
    facts.push(hold, ...(lasts === null ? [] : [at(opened + lasts, 'clearHold', { unit: `U${who}`, hold: hold.id, note: '' })]));
  }
  for (const { who, opened, lasts, reason } of stops) {
    const station = STATIONS[who % 3]!;
    const stop = at(opened, 'openStop', { station, reason, note: '' });
    facts.push(stop, ...(lasts === null ? [] : [at(opened + lasts, 'clearStop', { station, stop: stop.id, note: '' })]));
  }
  return facts;
}

interface Trouble { who: number; opened: number; lasts: number | null; reason: string }
const LAST = 9 * 1_440;
const step = fc.record({ lasts: fc.integer({ min: 1, max: 300 }), finish: fc.option(fc.integer({ min: 1, max: 300 })), skip: fc.constantFrom(false, false, false, false, true) });
const trouble = fc.record({ who: fc.nat(5), opened: fc.nat(LAST), lasts: fc.option(fc.integer({ min: 1, max: 900 })), reason: fc.constantFrom('Missing part', 'Rework', 'No crew') });

export interface FloorDays { facts: Fact[]; history: LineHistory; visits: Visit[]; at: Instant }

/** Some units through three stations over nine days of two shifts, with holds, stops, missed stations and visits still open. */
export const floorDays: fc.Arbitrary<FloorDays> = fc.record({
  draws: fc.array(fc.record({ start: fc.nat(LAST - 1_000), model: fc.constantFrom('M', 'N'), steps: fc.array(step, { minLength: 3, maxLength: 3 }), open: fc.boolean() }), { minLength: 1, maxLength: 6 }),
  holds: fc.array(trouble, { maxLength: 4 }), stops: fc.array(trouble, { maxLength: 3 }), told: fc.integer({ min: 600, max: LAST }),
}).map(({ draws, holds, stops, told }) => {
  const facts = factsOf(draws, holds, stops);
  const history = lineHistoryOf('MAIN', setups, facts);
  return { facts, history, visits: deriveVisits(history, minute(told)), at: minute(told) };
});
