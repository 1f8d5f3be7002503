import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CheckState } from '../../../server/core/facts/quality-state.ts';
import { checksFor, checkStanding, checkVersion, judgeCheck, judgedOtherwise, judgeItem, limitJudges } from '../../../server/core/gates/check.ts';
import type { ItemResult } from '../../../server/core/facts/quality-facts.ts';
import { minute, setupOf } from '../../support/given.ts';
import { aCheck, choice, measured, qualityPlant, yesNo } from '../../support/given-quality.ts';

const result = (item: string, value: ItemResult['value'], judged: boolean | null = null): ItemResult => ({ item, value, judged });

describe('an item', () => {
  it('of yes or no passes with yes', () => {
    expect([true, false].map((value) => judgeItem(yesNo('a'), result('a', value)))).toEqual(['passed', 'failed']);
    expect(judgeItem(yesNo('a'), result('a', 'yes'))).toBe('notDone');
    expect(judgeItem(yesNo('a'), undefined)).toBe('notDone');
  });

  it('of a choice passes as the choice says', () => {
    expect(['whole', 'scratched', 'torn', 'burnt'].map((value) => judgeItem(choice('a'), result('a', value)))).toEqual(['passed', 'passed', 'failed', 'notDone']);
  });

  it('that is measured passes between its confirmed limits, both among them, whatever a person said', () => {
    fc.assert(fc.property(fc.integer({ min: -50, max: 50 }), fc.integer({ min: 0, max: 50 }), fc.integer({ min: -120, max: 120 }), fc.option(fc.boolean()), (low, more, value, judged) => {
      expect(judgeItem(measured('a', low, low + more), result('a', value, judged))).toBe(value >= low && value <= low + more ? 'passed' : 'failed');
      expect(judgeItem(measured('a', low, null), result('a', value, judged))).toBe(value >= low ? 'passed' : 'failed');
      expect(judgeItem(measured('a', null, low), result('a', value, judged))).toBe(value <= low ? 'passed' : 'failed');
    }));
  });

  it('that is measured neither passes nor fails by its number while the limits are not confirmed: a person judges', () => {
    fc.assert(fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      expect(judgeItem(measured('a', 10, 20, false), result('a', value))).toBe('notJudged');
      expect(judgeItem(measured('a', 10, 20, false), result('a', value, true))).toBe('passed');
      expect(judgeItem(measured('a', 10, 20, false), result('a', value, false))).toBe('failed');
      expect(judgeItem(measured('a', null, null), result('a', value))).toBe('notJudged');
    }));
  });

  it('that is measured is not done without a number', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, '15', true]) expect(judgeItem(measured('a', 10, 20), result('a', value))).toBe('notDone');
  });
});

describe('an attempt', () => {
  const check = aCheck('K', 'A', { items: [yesNo('a'), yesNo('b'), measured('c', 1, 2, false)] });
  const outcome = (...results: ItemResult[]) => judgeCheck(check, results).outcome;

  it('passes when every item does, fails when one does, and is not complete otherwise', () => {
    expect(outcome(result('a', true), result('b', true), result('c', 1.5, true))).toBe('passed');
    expect(outcome(result('a', true), result('b', false))).toBe('failed');
    expect(outcome(result('a', true), result('b', true))).toBe('incomplete');
    expect(outcome(result('a', true), result('b', true), result('c', 1.5))).toBe('incomplete');
    expect(outcome()).toBe('incomplete');
  });

  it('counts the last of two results for an item', () => {
    expect(outcome(result('a', false), result('a', true), result('b', true), result('c', 1, true))).toBe('passed');
  });
});

describe('the checks of a unit', () => {
  it('are those for its model and options', () => {
    const plant = qualityPlant({ checks: [aCheck('ALL', 'A'), aCheck('M', 'A', { models: ['M'] }), aCheck('N', 'A', { models: ['N'] }), aCheck('SOLAR', 'A', { options: ['SOLAR', 'ROOF'] })] });
    const codes = (model: string | null, ...options: string[]) => checksFor(plant, model, options).map(({ code }) => code);
    expect(codes('M')).toEqual(['ALL', 'M']);
    expect(codes('N', 'ROOF')).toEqual(['ALL', 'N', 'SOLAR']);
    expect(codes(null)).toEqual(['ALL']);
    expect(checksFor(qualityPlant({ checks: undefined }), 'M', [])).toEqual([]);
  });

  it('are found in the version that was made, the one in force before an old one', () => {
    const plant = (version: number) => qualityPlant({ checks: [aCheck('K', 'A', { version })] });
    const setups = [1, 2].map((version) => ({ version, validFrom: version, plant: plant(version) }));
    expect(checkVersion(plant(2), setups, 'K', 2)).toMatchObject({ old: false, check: { version: 2 } });
    expect(checkVersion(plant(2), setups, 'K', 1)).toMatchObject({ old: true, check: { version: 1 } });
    expect(checkVersion(plant(2), setups, 'K', 3)).toBeNull();
    expect(checkVersion(null, setupOf(plant(1)), 'J', 1)).toBeNull();
  });
});

describe('where a unit stands with a check', () => {
  const state: CheckState = { check: 'K', version: 1, attempts: 1, outcome: 'passed', at: minute(0), who: '', first: { passed: true, at: minute(0) }, passedAt: minute(0), limits: [], dueAgain: null };
  const check = aCheck('K', 'A', { maxAgeHours: 2 });

  it('is told from its last complete attempt, work since then, and its age', () => {
    expect(checkStanding(check, undefined, minute(1))).toBe('missing');
    expect(checkStanding(check, { ...state, attempts: 0, passedAt: null }, minute(1))).toBe('missing');
    expect(checkStanding(check, { ...state, passedAt: null }, minute(1))).toBe('failed');
    expect(checkStanding(check, { ...state, dueAgain: { zone: 'wall', at: minute(1) } }, minute(1))).toBe('dueAgain');
    expect(checkStanding(check, state, minute(120))).toBe('passed');
    expect(checkStanding(check, state, minute(121))).toBe('tooOld');
    expect(checkStanding(aCheck('K', 'A'), state, minute(1_000_000))).toBe('passed');
  });
});

describe('the limits by which a check was judged', () => {
  const item = measured('pressure', 10, 20);
  const by = (edition: string | null) => aCheck('K', 'A', { items: [yesNo('dry'), measured('any', null, null), item.kind !== 'measured' ? item : { ...item, confirmed: edition === null ? null : { who: 'q', when: '2026-01-05', edition } }] });

  it('are those of its measured items that have limits, with the edition or none', () => {
    expect(limitJudges(by('E1'))).toEqual([{ item: 'pressure', edition: 'E1' }]);
    expect(limitJudges(by(null))).toEqual([{ item: 'pressure', edition: null }]);
  });

  it('are others once another edition is confirmed, or the first one', () => {
    fc.assert(fc.property(fc.constantFrom(null, 'E1', 'E2'), fc.constantFrom(null, 'E1', 'E2'), (then, now) => {
      expect(judgedOtherwise(by(now), limitJudges(by(then))).map(({ code }) => code)).toEqual(then === now ? [] : ['pressure']);
    }));
    expect(judgedOtherwise(by('E1'), [])).toEqual([]);
  });
});
