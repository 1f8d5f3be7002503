import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { compareNumbers, inRange } from '../../../server/core/trace/component-range.ts';
import { type TraceQuery, whichUnits } from '../../../server/core/trace/which-units.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { qualityPlant } from '../../support/given-quality.ts';

describe('component numbers', () => {
  it('are in the order in which people count them', () => {
    const order = ['A-9', 'A-10', 'A-010b', 'A-100', 'B-1', 'B-1-2'];
    for (const [i, a] of order.entries()) for (const [j, b] of order.entries()) expect(Math.sign(compareNumbers(a, b))).toBe(Math.sign(i - j));
    expect(compareNumbers('a-7', 'A-007')).toBe(0);
    expect(inRange('CV-0150', 'CV-100', 'CV-200')).toBe(true);
    expect(inRange('XV-0150', 'CV-100', 'CV-200')).toBe(false);
    expect(inRange('CV-200', null, 'CV-200')).toBe(true);
    expect(inRange('CV-200', 'CV-201', null)).toBe(false);
  });

  it('of one series are in the order of their digits, however many there are', () => {
    fc.assert(fc.property(fc.bigInt({ min: 0n, max: 10n ** 25n }), fc.bigInt({ min: 0n, max: 10n ** 25n }), fc.nat(4), (a, b, zeros) => {
      expect(Math.sign(compareNumbers(`CV${'0'.repeat(zeros)}${a}`, `CV${b}`))).toBe(a < b ? -1 : a > b ? 1 : 0);
    }));
  });

  it('have one order: the same both ways and through a third', () => {
    const number = fc.stringMatching(/^[AB0-2-]{0,6}$/);
    fc.assert(fc.property(number, number, number, (a, b, c) => {
      expect(Math.sign(compareNumbers(a, b))).toBe(-Math.sign(compareNumbers(b, a)) + 0);
      if (compareNumbers(a, b) <= 0 && compareNumbers(b, c) <= 0) expect(compareNumbers(a, c)).toBeLessThanOrEqual(0);
    }));
  });
});

describe('which units', () => {
  const setups = setupOf(qualityPlant());
  const has = (unit: string, number: string, lot = '') => {
    const fitted = at(1, 'recordPart', { unit, part: 'AXLE', number, lot });
    return { fitted, facts: [registered(unit), fitted] };
  };
  const fold = (unit: string, facts: Parameters<typeof foldUnit>[1], built: number | null = null) => ({ state: foldUnit(unit, facts, setups).state, built });
  const none: TraceQuery = { part: null, from: null, to: null, lot: null, builtFrom: null, builtTo: null };
  const one = has('CF1', 'N-5', 'L1');
  const two = has('CF2', 'N-10', 'l1');
  const three = has('CF3', 'N-20', 'L2');
  const moved = at(5, 'removePart', { unit: 'CF3', fitted: three.fitted.id, reason: 'For CF4', takenFor: 'CF4' });
  const units = [
    fold('CF2', two.facts, minute(100)), fold('CF1', one.facts, minute(50)), fold('CF3', [...three.facts, moved], minute(200)),
    fold('CF4', [registered('CF4'), at(6, 'recordPart', { unit: 'CF4', part: 'AXLE', number: 'N-20', lot: 'L2', takenFrom: 'CF3' })]),
  ];
  const found = (query: Partial<TraceQuery>) => whichUnits(units, { ...none, ...query }).map(({ unit, number }) => `${unit} ${number ?? '-'}`);

  it('have a number of the range, in the order of the numbers', () => {
    expect(found({ part: 'AXLE', from: 'N-5', to: 'N-10' })).toEqual(['CF1 N-5', 'CF2 N-10']);
    expect(found({ part: 'AXLE', from: 'N-6' })).toEqual(['CF2 N-10', 'CF3 N-20', 'CF4 N-20']);
    expect(found({ part: 'CONV' })).toEqual([]);
  });

  it('have a lot, whatever its capitals', () => expect(found({ lot: 'L1' })).toEqual(['CF1 N-5', 'CF2 N-10']));

  it('were built between', () => {
    expect(found({ builtFrom: minute(50), builtTo: minute(200) })).toEqual(['CF1 -', 'CF2 -']);
    expect(found({ builtFrom: minute(100) })).toEqual(['CF2 -', 'CF3 -']);
    expect(found({ part: 'AXLE', builtTo: minute(60) })).toEqual(['CF1 N-5']);
  });

  it('tell what was taken out of one for another, both ways', () => {
    const rows = whichUnits(units, { ...none, from: 'N-20', to: 'N-20' });
    expect(rows).toMatchObject([{ unit: 'CF3', removed: minute(5), takenFor: 'CF4' }, { unit: 'CF4', removed: null, takenFrom: 'CF3' }]);
  });

  it('find every unit whose number was asked for exactly, among any', () => {
    fc.assert(fc.property(fc.array(fc.nat(30), { minLength: 1, maxLength: 12 }), fc.nat(11), (numbers, pick) => {
      const all = numbers.map((n, i) => fold(`U${i}`, has(`U${i}`, `N-${n}`).facts));
      const wanted = numbers[pick % numbers.length]!;
      const told = whichUnits(all, { ...none, part: 'AXLE', from: `N-${wanted}`, to: `N-${wanted}` }).map(({ unit }) => unit).sort();
      expect(told).toEqual(numbers.flatMap((n, i) => (n === wanted ? [`U${i}`] : [])).sort());
    }));
  });
});
