import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LATE_AFTER, scanHabits, type ScanMarkKind } from '../../../server/core/rates/scan-habits.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import type { Fact, Recorded } from '../../../server/core/facts/fact.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { at, minute, registered } from '../../support/given.ts';
import { floorDays, setups } from '../../support/floor-days.ts';

const recordedAfter = (facts: readonly Fact[], minutes: number): Recorded[] => facts.map((fact, i) => ({ ...fact, recorded: fact.happened + minutes * 60_000, seq: i + 1 }));
const habitsOf = (facts: Recorded[], m = 5_000) => {
  const history = lineHistoryOf('MAIN', setups, facts);
  return scanHabits(facts, history, deriveVisits(history, minute(m)), minute(0), minute(m));
};
const DAY = 6 * 60;

describe('scanHabits', () => {
  it('are all good where everything was scanned as it happened', () => {
    const facts = [registered('U1'), at(DAY, 'arrive', { unit: 'U1', station: 'A' }), at(DAY + 25, 'finish', { unit: 'U1', station: 'A' }), at(DAY + 30, 'arrive', { unit: 'U1', station: 'B' })];
    expect(habitsOf(recordedAfter(facts, 0))).toMatchObject([
      { station: 'A', shift: 'Day', scans: 2, good: 2, missing: 0, goodShare: 1, facts: [] }, { station: 'B', shift: 'Day', scans: 1, good: 1, goodShare: 1 },
    ]);
  });

  it('tell a missed station and an assumed finish as scans that should have been', () => {
    const came = at(DAY, 'arrive', { unit: 'U1', station: 'A' });
    const habits = habitsOf(recordedAfter([registered('U1'), came, at(DAY + 60, 'arrive', { unit: 'U1', station: 'C' })], 0));
    expect(habits[0]).toMatchObject({ station: 'A', scans: 1, good: 1, missing: 1, goodShare: 0.5, marks: { finishAssumed: 1 }, facts: [{ kind: 'finishAssumed', fact: came.id, at: minute(DAY) }] });
    expect(habits[1]).toMatchObject({ station: 'B', shift: 'Day', scans: 0, missing: 1, goodShare: 0, facts: [{ kind: 'notScanned', unit: 'U1', fact: null, at: null, date: '2026-06-01' }] });
  });

  it('tell scans that cannot have been so near together, and those backdated', () => {
    const came = at(DAY + 30, 'arrive', { unit: 'U1', station: 'A' });
    const finished = at(DAY + 30.25, 'finish', { unit: 'U1', station: 'A' });
    const told = at(DAY + 90, 'finish', { unit: 'U2', station: 'B' }, { told: true });
    const facts = [registered('U1'), registered('U2', { sequence: 2 }), came, finished, at(DAY + 60, 'arrive', { unit: 'U2', station: 'B' }), told];
    const habits = habitsOf(recordedAfter(facts, 0));
    expect(habits.find(({ station }) => station === 'A')).toMatchObject({ scans: 2, good: 0, missing: 1, marks: { bunched: 2, notScanned: 1 } });
    expect(habits.find(({ station }) => station === 'A')!.facts.filter(({ kind }) => kind === 'bunched').map(({ fact }) => fact)).toEqual([came.id, finished.id]);
    expect(habits.find(({ station }) => station === 'B')).toMatchObject({ scans: 2, good: 1, marks: { told: 1 }, facts: [{ kind: 'told', fact: told.id }] });
  });

  it('tell what was recorded long after, from the first minute past the limit', () => {
    const facts = [registered('U1'), at(DAY, 'arrive', { unit: 'U1', station: 'A' })];
    const late = (minutes: number): number => habitsOf(recordedAfter(facts, minutes))[0]!.marks.recordedLate;
    expect([late(0), late(LATE_AFTER), late(LATE_AFTER + 1), late(-30)]).toEqual([0, 0, 1, 0]);
  });

  it('leave out what was voided, other lines, and what lies outside the period; shifts are told apart', () => {
    const wrong = at(DAY, 'arrive', { unit: 'U1', station: 'A' });
    const facts = [
      registered('U1'), wrong, at(DAY + 1, 'void', { fact: wrong.id, reason: 'Wrong unit' }), at(DAY + 10, 'arrive', { unit: 'U1', station: 'YARD' }),
      at(20 * 60, 'arrive', { unit: 'U1', station: 'A' }), at(9_000, 'finish', { unit: 'U1', station: 'A' }),
    ];
    expect(habitsOf(recordedAfter(facts, 0)).map(({ station, shift, scans }) => [station, shift, scans])).toEqual([['A', 'Night', 1]]);
  });

  it('know the unit that a scanned serial turned out to be', () => {
    const facts = [
      registered('U1'), at(DAY, 'arrive', { unit: 'SMUDGED', station: 'A' }), at(DAY + 0.5, 'finish', { unit: 'SMUDGED', station: 'A' }),
      at(DAY + 9, 'identify', { unit: 'U1', scanned: 'SMUDGED', reason: 'Read by hand' }),
    ];
    expect(habitsOf(recordedAfter(facts, 0))[0]).toMatchObject({ marks: { bunched: 2 }, facts: [{ unit: 'U1' }, { unit: 'U1' }] });
  });

  it('count every scan once, its good ones being those neither bunched nor told, and every missing one', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: -5, max: 30 }), ({ facts, history, visits, at: now }, delay) => {
      const habits = scanHabits(recordedAfter(facts, delay), history, visits, 0, now + 1);
      const scans = facts.filter((fact) => ['arrive', 'finish', 'leave'].includes(fact.kind) && fact.happened <= now);
      const total = (of: (habit: (typeof habits)[number]) => number): number => habits.reduce((sum, habit) => sum + of(habit), 0);
      expect(total((habit) => habit.scans)).toBe(scans.length);
      expect(total((habit) => habit.missing)).toBe(visits.filter((visit) => visit.notScanned || visit.finishAssumed).length);
      for (const habit of habits) {
        const bad = new Set(habit.facts.filter(({ kind }) => kind === 'bunched' || kind === 'told').map(({ fact }) => fact));
        expect(habit.good).toBe(habit.scans - bad.size);
        expect(habit.goodShare).toBeCloseTo(habit.good / (habit.scans + habit.missing), 12);
        for (const kind of Object.keys(habit.marks) as ScanMarkKind[]) expect(habit.facts.filter((mark) => mark.kind === kind)).toHaveLength(habit.marks[kind]);
      }
      if (delay > LATE_AFTER) expect(total((habit) => habit.marks.recordedLate)).toBe(scans.length);
    }), { numRuns: 100 });
  });
});
