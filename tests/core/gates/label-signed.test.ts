import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { cargoStands, lackingLabels } from '../../../server/core/gates/label-signed.ts';
import { missingForRelease } from '../../../server/core/gates/release.ts';
import type { Plant } from '../../../server/core/setup/plant.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { LABEL_VIN, labelCheck, labelPlant, someFigures } from '../../support/given-labels.ts';
import { aCheck } from '../../support/given-quality.ts';

const U = 'CF1';
const plant = labelPlant({ figures: [someFigures(), someFigures({ options: ['BUNK'], gvwr: { lb: 8_000 } })] });
const fold = (of: Plant, ...facts: Fact[]) => foldUnit(U, [registered(U, { options: [] }), ...facts], setupOf(of));
const vin = at(1, 'bindVin', { unit: U, vin: LABEL_VIN });
const lacks = (...facts: Fact[]) => lackingLabels(fold(plant, ...facts).state, plant).map(({ label, lack }) => `${label} ${lack}`);
const release = (m: number) => at(m, 'release', { unit: U });
const parked = at(0, 'park', { unit: U, place: 'YARD', slot: '1' });

describe('the labels of a unit', () => {
  it('are wanted one by one until each is signed as fitted', () => {
    expect(lacks(vin)).toEqual(['certification notSigned', 'tires figures', 'cargo figures']);
    expect(lacks(vin, labelCheck(2, 5_480, {}))).toEqual(['certification notSigned', 'tires notSigned', 'cargo notSigned']);
    expect(lacks(vin, labelCheck(2, 5_480, { certification: true, cargo: true }))).toEqual(['tires notSigned']);
    expect(lacks(vin, labelCheck(2, 5_480))).toEqual([]);
  });

  it('are wanted again when a later attempt finds one wrong', () => {
    expect(lacks(vin, labelCheck(2, 5_480), labelCheck(3, 5_480, { placard: false }))).toEqual(['tires notSigned']);
    expect(lacks(vin, labelCheck(2, 5_480), labelCheck(3, 5_480, { placard: false }), labelCheck(4, 5_480))).toEqual([]);
  });

  it('cannot be signed with figures that are missing or cannot be', () => {
    expect(lacks(labelCheck(2, 5_480))).toEqual(['certification figures', 'cargo figures']);
    expect(lacks(vin, labelCheck(2, 7_600))).toEqual(['certification faults', 'tires faults', 'cargo faults']);
  });

  it('do not stand when the build, its VIN or its weight is another one than when they were signed', () => {
    const build = at(3, 'changeBuild', { unit: U, model: 'M', options: ['BUNK'], reason: 'Dealer asked' });
    expect(lacks(vin, labelCheck(2, 5_480), build)).toEqual(['certification changed']);
    expect(lacks(vin, labelCheck(2, 5_480), at(3, 'bindVin', { unit: U, vin: '0ZZTB2523T0000416' }))).toEqual(['certification changed', 'cargo changed']);
    expect(lacks(vin, labelCheck(2, 5_480), labelCheck(3, 5_580, {}))).toEqual([]);
    expect(lacks(vin, labelCheck(2, 5_480), labelCheck(3, 5_581, {}))).toEqual(['tires changed', 'cargo changed']);
    expect(lacks(vin, labelCheck(2, 5_480), build, labelCheck(4, 5_480))).toEqual([]);
  });

  it('are told with the text and station of the item that signs them, or that there is none', () => {
    const [first] = lackingLabels(fold(plant).state, plant);
    expect(first).toEqual({ label: 'certification', item: { text: 'Is certification right?', station: 'C' }, lack: 'figures' });
    const unsigned = { ...plant, checks: [aCheck('LABEL', 'C', { models: ['OTHER'] })] };
    expect(lackingLabels(fold(unsigned, vin).state, unsigned).map(({ item, lack }) => [item, lack])).toEqual([[null, 'noItem'], [null, 'noItem'], [null, 'noItem']]);
  });

  it('are wanted by no plant that does not say so', () => {
    const none = { ...plant, labels: undefined };
    expect(lackingLabels(fold(none).state, none)).toEqual([]);
    expect(fold(none, labelCheck(2, 5_480)).state).toMatchObject({ weighed: null, labels: [] });
    const figuresOnly = labelPlant({ required: [] });
    expect(lackingLabels(fold(figuresOnly).state, figuresOnly)).toEqual([]);
  });
});

describe('the release', () => {
  const missing = (...facts: Fact[]) => missingForRelease(fold(plant, parked, ...facts).state, plant, minute(9)).map(({ kind, what, station, detail }) => [kind, what, station, detail]);

  it('is held by name while a label is not signed as fitted', () => {
    expect(missing(vin, labelCheck(2, 5_480, { certification: true, placard: true }))).toEqual([
      ['certify', 'Check LABEL', 'C', 'missing'], ['label', 'Is cargo right?', 'C', 'notSigned'],
    ]);
    expect(fold(plant, parked, vin, labelCheck(2, 5_480, { certification: true, placard: true }), release(5))).toMatchObject({ state: { released: null, releaseLost: { missing: ['certify: Check LABEL', 'label: Is cargo right?'] } } });
    expect(fold(plant, parked, vin, labelCheck(2, 5_480), release(5)).state).toMatchObject({ stage: 'released', released: minute(5) });
  });

  it('is held although the check was passed, when the figures are others now', () => {
    expect(missing(vin, labelCheck(2, 5_480), at(3, 'changeBuild', { unit: U, model: 'M', options: ['BUNK'], reason: 'Dealer asked' }))).toEqual([['label', 'Is certification right?', 'C', 'changed']]);
  });

  it('is taken back by the fact that changes the figures', () => {
    const { state, flags } = fold(plant, parked, vin, labelCheck(2, 5_480), release(5), at(6, 'changeBuild', { unit: U, model: 'M', options: ['BUNK'], reason: 'Dealer asked' }));
    expect(state).toMatchObject({ stage: 'yard', released: null });
    expect(flags.map(({ code }) => code)).toContain('releaseTakenBack');
  });
});

describe('the tolerance of a cargo label', () => {
  // 72 FR 68442, check values 7.11: the lesser of 1.5 % of the GVWR and 100 lb: 4,000 → 60; 5,000 → 75; 6,666.7 → 100; 12,000 → 100.
  it.each([[4_000, 60], [5_000, 75], [6_666.7, 100], [12_000, 100]])('of a GVWR of %d lb is %i lb', (gvwr, tolerance) => {
    expect(cargoStands(1_000, 1_000 - tolerance, gvwr)).toBe(true);
    expect(cargoStands(1_000, 1_000 - tolerance - 1, gvwr)).toBe(false);
  });

  it('is never used up by a unit that got lighter', () => {
    fc.assert(fc.property(fc.nat(9_000), fc.nat(900), fc.integer({ min: 1, max: 20_000 }), (signed, lighter, gvwr) => {
      expect(cargoStands(signed, signed + lighter, gvwr)).toBe(true);
    }));
  });
});

describe('after any order of weighing, signing, binding and building', () => {
  const any = fc.array(fc.record({ kind: fc.nat(4), pounds: fc.integer({ min: 5_000, max: 8_000 }), good: fc.boolean() }), { maxLength: 12 }).map((draws) => draws.map(({ kind, pounds, good }, m): Fact => [
    () => labelCheck(m, pounds, { certification: good, placard: true, cargo: good }), () => labelCheck(m, pounds, {}), () => at(m, 'bindVin', { unit: U, vin: good ? LABEL_VIN : '0ZZTB2523T0000416' }),
    () => at(m, 'changeBuild', { unit: U, model: 'M', options: good ? ['BUNK'] : [], reason: 'R' }), () => release(m),
  ][kind]!()));

  it('no unit stands as released whose labels are not signed with figures that hold', () => {
    fc.assert(fc.property(any, (facts) => {
      const { state } = fold(plant, parked, ...facts);
      if (state.released !== null) expect(lackingLabels(state, plant)).toEqual([]);
    }), { numRuns: 300 });
  });

  it('one attempt that weighs and signs everything leaves nothing lacking, or figures that cannot be', () => {
    fc.assert(fc.property(any, fc.integer({ min: 5_000, max: 8_000 }), (facts, pounds) => {
      const { state } = fold(plant, parked, ...facts, at(20, 'bindVin', { unit: U, vin: LABEL_VIN }), labelCheck(21, pounds));
      const gvwr = state.options.includes('BUNK') ? 8_000 : 7_600;
      expect(lackingLabels(state, plant).map(({ lack }) => lack)).toEqual(pounds + 60 >= gvwr ? ['faults', 'faults', 'faults'] : []);
    }));
  });
});
