import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answered, type Attempt, resultsOf, standOf } from '../../../kiosk/data/attempt.ts';
import { judgeCheck } from '../../../server/core/gates/check.ts';
import { aCheck, choice, measured, yesNo } from '../../support/given-quality.ts';

const check = aCheck('LEAK', 'B', { items: [yesNo('dry'), measured('pressure', 10, 20, false), choice('seal'), { ...yesNo('label'), wantsPhoto: true }] });
const [dry, pressure, seal, label] = check.items;

describe('an attempt', () => {
  it('has every item to answer at first, and nothing to state', () => {
    expect(standOf(check, {}).left.map(({ code }) => code)).toEqual(['dry', 'pressure', 'seal', 'label']);
    expect(resultsOf(check, {})).toEqual([]);
  });

  it('is judged by a person where limits are not confirmed, anew for every reading', () => {
    const read = answered(pressure!, undefined, { value: 15 });
    expect(standOf(check, { pressure: read }).left.map(({ code }) => code)).toContain('pressure');
    const judged = answered(pressure!, read, { judged: true });
    expect(standOf(check, { pressure: judged }).left.map(({ code }) => code)).not.toContain('pressure');
    expect(answered(pressure!, judged, { value: 16 })).toMatchObject({ value: 16, judged: null });
    expect(answered(pressure!, judged, { value: 15, note: 'held' })).toMatchObject({ value: 15, judged: true, note: 'held' });
  });

  it('wants a photo where the check wants one', () => {
    const said = answered(label!, undefined, { value: true });
    expect(standOf(check, { label: said }).left.map(({ code }) => code)).toContain('label');
    expect(standOf(check, { label: { ...said, photo: 'p' } }).left.map(({ code }) => code)).not.toContain('label');
  });

  it('may be stated as soon as one item failed', () => {
    expect(standOf(check, { dry: answered(dry!, undefined, { value: false }) })).toMatchObject({ failed: true });
    expect(standOf(check, { seal: answered(seal!, undefined, { value: 'torn' }) }).failed).toBe(true);
  });

  it('leaves out what nobody answered, and empty notes', () => {
    const attempt: Attempt = { pressure: answered(pressure!, undefined, { value: '', note: 'gauge broken' }), dry: answered(dry!, undefined, { value: true, note: '' }) };
    expect(resultsOf(check, attempt)).toEqual([{ item: 'dry', value: true, judged: null }]);
  });

  it('says what the fold of its results says: passed when nothing is left and nothing failed', () => {
    const value = fc.option(fc.oneof(fc.boolean(), fc.integer({ min: 5, max: 25 }), fc.constantFrom('whole', 'torn', '')), { nil: undefined });
    const result = fc.record({ value, judged: fc.option(fc.boolean()), photo: fc.option(fc.constant('p'), { nil: undefined }) });
    fc.assert(fc.property(fc.tuple(result, result, result, result), (all) => {
      const attempt: Attempt = {};
      check.items.forEach((item, i) => {
        const { value: said, ...more } = all[i]!;
        if (said !== undefined) attempt[item.code] = answered(item, answered(item, undefined, { value: said }), more);
      });
      const { left, failed } = standOf(check, attempt);
      const { outcome } = judgeCheck(check, resultsOf(check, attempt));
      expect(outcome).toBe(failed ? 'failed' : left.length === 0 ? 'passed' : 'incomplete');
    }));
  });
});
