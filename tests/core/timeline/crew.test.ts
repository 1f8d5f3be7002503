import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldPlaces } from '../../../server/core/facts/fold-places.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { workingTimeOf } from '../../../server/core/calendar/working-time.ts';
import { crewAt, crewShift } from '../../../server/core/timeline/crew.ts';
import { aLine, aPlant, aStation, at, minute, setupOf } from '../../support/given.ts';

const A = aStation('A', { plannedHeads: 3 });
const B = aStation('B', { plannedHeads: 2 });
const setups = setupOf(aPlant(aLine([A, B]), { A: 10, B: 10 }));
const shift = { name: 'Day', date: '2026-06-01', start: minute(360), end: minute(870) };
const heads = (m: number, station: string, n: number) => at(m, 'heads', { station, heads: n });
const loan = (m: number, from: string | null, station: string, n: number, until: number | null = null) => at(m, 'loan', { station, from, heads: n, until: until === null ? null : minute(until) });
const crew = (m: number, station: typeof A, ...facts: Fact[]) => crewAt(station, foldPlaces(facts, setups).crew, shift, minute(m));

describe('the crew of a station', () => {
  it('is the standard crew while nobody counted, and what was counted from then on', () => {
    expect(crew(400, A)).toEqual({ planned: 3, here: 3, short: 0, stated: false });
    expect(crew(400, A, heads(355, 'A', 2))).toEqual({ planned: 3, here: 2, short: 1, stated: true });
    expect(crew(400, A, heads(355, 'A', 2), heads(390, 'A', 3))).toMatchObject({ here: 3, short: 0 });
    expect(crew(380, A, heads(355, 'A', 2), heads(390, 'A', 3))).toMatchObject({ here: 2, short: 1 });
    expect(crew(400, A, heads(355, 'A', 5))).toMatchObject({ here: 5, short: 0 });
  });

  it('counts for its shift only: yesterday\'s count and loan say nothing of today', () => {
    expect(crew(400, A, heads(-1_000, 'A', 1), loan(-900, 'A', 'B', 1))).toMatchObject({ here: 3, stated: false });
    expect(crewAt(A, foldPlaces([heads(355, 'A', 1)], setups).crew, null, minute(1_000))).toMatchObject({ here: 3, short: 0 });
  });

  it('is counted for the shift now, else for the one that starts within 90 minutes', () => {
    const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [], weekdays: ['mon' as const] };
    const time = workingTimeOf(setupOf(aPlant(aLine([A, B]), {}, { calendars: [{ code: 'always', shifts: [day], exceptions: [] }] })), { line: 'MAIN', station: 'A' }, []);
    expect(crewShift(time, minute(400))).toMatchObject({ start: minute(360), end: minute(840) });
    expect(crewShift(time, minute(270))).toMatchObject({ start: minute(360) });
    expect(crewShift(time, minute(269))).toBeNull();
    expect(crewShift(time, minute(840))).toBeNull();
  });

  it('lends and borrows for the rest of the shift, or until the instant said', () => {
    const lent = loan(400, 'A', 'B', 1, 460);
    expect(crew(410, A, lent)).toMatchObject({ here: 2, short: 1 });
    expect(crew(410, B, lent)).toMatchObject({ here: 3, short: 0 });
    expect(crew(460, A, lent)).toMatchObject({ here: 3, short: 0 });
    expect(crew(800, B, loan(400, null, 'B', 1))).toMatchObject({ here: 3 });
    expect(crew(800, A, loan(400, 'A', 'B', 9))).toMatchObject({ here: 0, short: 3 });
  });

  it('takes back what was voided', () => {
    const lent = loan(400, 'A', 'B', 1);
    expect(crew(500, A, lent, at(450, 'void', { fact: lent.id, reason: 'wrong' }))).toMatchObject({ here: 3 });
  });

  it('keeps heads: what loans between stations take from one they give to another', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.boolean(), fc.integer({ min: 360, max: 800 }), fc.integer({ min: 0, max: 1 })), { maxLength: 4 }), (loans) => {
      const facts = [heads(355, 'A', 10), heads(355, 'B', 10), ...loans.map(([out, m, n]) => (out ? loan(m, 'A', 'B', n) : loan(m, 'B', 'A', n)))];
      expect(crew(860, A, ...facts).here + crew(860, B, ...facts).here).toBe(20);
    }));
  });
});

describe('notes and actions of a line', () => {
  it('are carried until done; closing what was never opened is flagged', () => {
    const action = at(400, 'openAction', { line: 'MAIN', what: 'Order seals', owner: 'Purchasing', due: minute(900) });
    const note = at(410, 'note', { line: 'MAIN', text: 'Hoist 2 is slow' });
    const open = foldPlaces([note, action], setups);
    expect(open.notes).toMatchObject([{ line: 'MAIN', text: 'Hoist 2 is slow', happened: minute(410) }]);
    expect(open.actions).toMatchObject([{ id: action.id, owner: 'Purchasing', due: minute(900), closed: null }]);
    const close = at(500, 'closeAction', { line: 'MAIN', action: action.id, note: '' });
    expect(foldPlaces([close, action], setups).actions[0]?.closed).toBe(minute(500));
    expect(foldPlaces([close], setups).flags.map(({ code }) => code)).toEqual(['unknownTarget']);
    expect(foldPlaces([loan(400, 'Z', 'A', 1)], setups).flags.map(({ code }) => code)).toEqual(['unknownStation']);
  });
});
