import fc from 'fast-check';
import { expect, it } from 'vitest';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { vinFaults, vinIn } from '../../../server/core/gates/vin.ts';
import { aLine, aPlant, aStation, at, registered, setupOf } from '../../support/given.ts';

const setups = setupOf(aPlant(aLine([aStation('A')]), { A: 25 }));
const fold = (...vins: string[]) => foldUnit('U', [registered('U'), ...vins.map((vin, i) => at(i, 'bindVin', { unit: 'U', vin }))], setups);

// Source of the VINs: tests/published/vin.json.
it('binds a VIN, read as a scanner gives it', () => {
  const { state, flags } = fold('I1M8GDM9AXKP042788');
  expect(state.vin).toBe('1M8GDM9AXKP042788');
  expect(flags).toEqual([]);
});

it('records a wrong VIN and flags it, with what is wrong and where', () => {
  const { state, flags } = fold('1M8GDM9A0KP042788');
  expect(state.vin).toBe('1M8GDM9A0KP042788');
  expect(flags).toMatchObject([{ code: 'vinWrong', unit: 'U', detail: 'checkDigit 9' }]);
  expect(fold('1M8GDM9AXKPO42788').flags).toMatchObject([{ code: 'vinWrong', detail: 'illegalCharacter 12' }]);
});

it('keeps the flag of the wrong one when the right one is bound after it', () => {
  const { state, flags } = fold('1M8GDM9AXKP04278', '1M8GDM9AXKP042788');
  expect(state.vin).toBe('1M8GDM9AXKP042788');
  expect(flags.map(({ code }) => code)).toEqual(['vinWrong']);
});

it('flags exactly those in which something is wrong', () => {
  fc.assert(fc.property(fc.string({ minLength: 1, maxLength: 20 }), (vin) => {
    expect(fold(vin).flags.length > 0).toBe(vinFaults(vinIn(vin)).length > 0);
  }));
});
