import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { claimsBack } from '../../../server/core/rates/claims-back.ts';
import { at, registered, setupOf } from '../../support/given.ts';
import { aCheck, qualityPlant, yesNo } from '../../support/given-quality.ts';

const U = 'CF1';
const plant = qualityPlant({ checks: [aCheck('WALL', 'B', { items: [yesNo('dry', 'wall')] }), aCheck('ROOF', 'C', { zones: ['roof'] }), aCheck('FINAL', 'C')] });
const WEEK = 7 * 1_440;
const claim = (more: Partial<{ zone: string | null; part: string | null; station: string | null; claim: string; what: string }>) =>
  at(9 * WEEK, 'dealerClaim', { unit: U, claim: 'D-1', claimed: '2026-09-01', what: 'Leaks', zone: null, part: null, station: null, ...more });
const passed = (check: string, item: string) => at(WEEK + 70, 'checkResult', { unit: U, check, version: 1, results: [{ item, value: true, judged: null }] });
const built = [
  at(0, 'arrive', { unit: U, station: 'A' }), at(WEEK, 'arrive', { unit: U, station: 'B' }), passed('WALL', 'dry'), at(2 * WEEK, 'arrive', { unit: U, station: 'C' }),
  passed('FINAL', 'one'), at(2 * WEEK + 60, 'leave', { unit: U, station: 'C' }), at(3 * WEEK, 'ship', { unit: U, carrier: '', override: 'Said so' }),
];
const back = (...facts: Fact[]) => {
  const { state, history } = foldUnit(U, [registered(U), ...built, ...facts], setupOf(plant));
  return claimsBack(plant, state, history.stays);
};

describe('a claim', () => {
  // Monday 2026-06-01 begins week 23 by ISO 8601; the unit left A a week later, B two.
  it('leads back to the station it names, and to the week in which the unit left it', () => {
    expect(back(claim({ station: 'A' }))).toMatchObject([{ claim: 'D-1', ledTo: 'A', week: '2026-W24', unit: U }]);
    expect(back(claim({ station: 'B' }))).toMatchObject([{ ledTo: 'B', week: '2026-W25' }]);
  });

  it('leads to where its part is fitted, else to where its zone is closed, else nowhere', () => {
    expect(back(claim({ part: 'AXLE', zone: 'roof' }))).toMatchObject([{ ledTo: 'A' }]);
    expect(back(claim({ zone: 'roof' }))).toMatchObject([{ ledTo: 'C', week: '2026-W25' }]);
    expect(back(claim({}))).toMatchObject([{ ledTo: null, week: null, checks: [] }]);
  });

  it('was let pass by the checks the unit passed that look at its zone, else by the first after the station', () => {
    expect(back(claim({ zone: 'wall' }))[0]!.checks).toEqual(['WALL']);
    expect(back(claim({ zone: 'roof' }))[0]!.checks).toEqual(['FINAL']);
    expect(back(claim({ zone: 'roof' }), passed('ROOF', 'one'))[0]!.checks).toEqual(['ROOF']);
    expect(back(claim({ station: 'A' }))[0]!.checks).toEqual(['WALL']);
    expect(back(claim({ station: 'C' }))[0]!.checks).toEqual(['FINAL']);
  });

  it('stated again by its number is put right, another number is another claim', () => {
    expect(back(claim({ what: 'Leaks' }), claim({ what: 'Leaks at the door' })).map(({ what }) => what)).toEqual(['Leaks at the door']);
    expect(back(claim({}), claim({ claim: 'D-2' }))).toHaveLength(2);
  });

  it('surprises nobody on a unit that was shipped', () => {
    expect(foldUnit(U, [registered(U), ...built, claim({})], setupOf(plant)).flags.map(({ code }) => code)).not.toContain('gone');
  });
});
