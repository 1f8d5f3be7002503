import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type WorkingTime, workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import type { Calendar } from '../../../server/core/setup/plant.ts';
import { aLine, aPlant, aStation, setupOf } from '../../support/given.ts';

const WEEKDAYS = ['mon', 'tue', 'wed', 'thu', 'fri'] as const;
const START = Date.parse('2026-03-02T00:00:00Z');
const MS_OF_DAYS = 40 * 86_400_000;

const dayShift: Calendar = {
  code: 'always', exceptions: [], shifts: [{ name: 'Day', start: '06:07', end: '14:31', breaks: [{ start: '09:10', end: '09:23' }, { start: '11:40', end: '12:11' }], weekdays: [...WEEKDAYS] }],
};
const newTime = (): WorkingTime => workingTimeOf(setupOf(aPlant(aLine([aStation('A')]), {}, { calendars: [dayShift] })), { line: 'MAIN', station: null }, []);

const instant = fc.nat(MS_OF_DAYS).map((ms) => START + ms);
const asked = fc.record({ a: instant, b: instant, minutes: fc.double({ min: 0, max: 3_000, noNaN: true }) });

describe('working time', () => {
  // To the last digit: what is derived after each fact is what is derived anew from all of them, whatever either asked first.
  it('is the same whatever was asked of it before', () => {
    fc.assert(fc.property(fc.array(asked, { minLength: 2, maxLength: 6 }), (questions) => {
      const answers = (time: WorkingTime) => ({ a, b, minutes }: (typeof questions)[number]) => [time.workingBetween(a, b), time.addWorking(a, minutes)];
      const [forth, back] = [newTime(), newTime()];
      const given = questions.map(answers(forth));
      expect([...questions].reverse().map(answers(back)).reverse()).toEqual(given);
      expect(questions.map((question) => answers(newTime())(question))).toEqual(given);
    }), { numRuns: 200 });
  });

  it('between two instants is that to one between them and from there, in whole milliseconds', () => {
    const time = newTime();
    const ms = (a: number, b: number): number => Math.round(time.workingBetween(a, b) * 60_000);
    fc.assert(fc.property(instant, instant, instant, (a, b, c) => {
      expect(ms(a, b) + ms(b, c)).toBe(ms(a, c));
      expect(time.workingBetween(a, c) * 60_000).toBeCloseTo(ms(a, c), 4);
    }));
  });
});
