import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unitLabels } from '../../../server/core/gates/label-figures.ts';
import { statedFigures } from '../../../server/core/gates/label-stated.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import type { AxleFigures, LabelFigures, TireFigures } from '../../../server/core/setup/labels.ts';
import { registered, setupOf } from '../../support/given.ts';
import { labelPlant, someFigures } from '../../support/given-labels.ts';

const told = (figures: LabelFigures): string[] => statedFigures(figures).map(({ name, axle, value }) => `${name}${axle ?? ''}: ${value}`);

describe('everything that an entry of label figures states', () => {
  it('stands in the order of the entry, axle by axle, in both units', () => {
    const axle = (n: number) => [
      `gawr${n}: 1814 kg (4000 lb)`, `tire${n}: ST225/75R15 load range D`, `rim${n}: 15x6J`, `pressure${n}: 448 kPa (65 psi)`, `tires${n}: 2`, `maxLoad${n}: 1152 kg (2540 lb)`,
    ];
    expect(told(someFigures())).toEqual([
      'gvwr: 3447 kg (7600 lb)', ...axle(1), ...axle(2), 'spare: ST225/75R15 load range D, 15x6J, 448 kPa (65 psi)', 'water: 151 L (40 gal)', 'lpGas: 27 kg (60 lb)',
    ]);
  });

  it('leaves out what the entry does not state', () => {
    const { gvwr, axles, confirmed } = someFigures();
    expect(told({ gvwr, axles: axles.slice(0, 1), confirmed }).map((line) => line.split(':')[0])).toEqual(['gvwr', 'gawr1', 'tire1', 'rim1', 'pressure1', 'tires1', 'maxLoad1']);
  });

  it('has what is stated in both units as it stands', () => {
    expect(told(someFigures({ gvwr: { lb: 7_600, kg: 3_450 }, lpGas: { kg: 27 } }))).toEqual(expect.arrayContaining(['gvwr: 3450 kg (7600 lb)', 'lpGas: 27 kg (60 lb)']));
  });

  const positive = fc.integer({ min: 1, max: 20_000 });
  const words = fc.string({ minLength: 1, maxLength: 9 });
  const weight = fc.oneof(positive.map((lb) => ({ lb })), positive.map((kg) => ({ kg })), fc.record({ lb: positive, kg: positive }));
  const tire: fc.Arbitrary<TireFigures> = fc.record({ size: words, rim: words, coldPressure: positive.map((psi) => ({ psi })) });
  const axle: fc.Arbitrary<AxleFigures> = fc.record({ gawr: weight, tire, tires: fc.integer({ min: 1, max: 8 }), maxLoad: weight });
  const figures: fc.Arbitrary<LabelFigures> = fc.record({
    gvwr: weight, axles: fc.array(axle, { minLength: 1, maxLength: 6 }), spare: fc.option(tire, { nil: undefined }), freshWater: fc.option(positive.map((gal) => ({ gal })), { nil: undefined }),
    lpGas: fc.option(weight, { nil: undefined }), confirmed: fc.constant(null),
  });

  it('says of every figure of the set-up that a label of the unit has the same as the label', () => {
    fc.assert(fc.property(figures, (own) => {
      const plant = labelPlant({ figures: [own] });
      const stated = statedFigures(own);
      const onLabels = unitLabels(plant, foldUnit('CF1', [registered('CF1')], setupOf(plant)).state, null)!.labels.flatMap((label) => label.figures).filter(({ name }) => ['gvwr', 'gawr', 'tire', 'rim', 'pressure', 'water'].includes(name));
      for (const { name, axle: n, value } of onLabels) expect(stated).toContainEqual({ name, axle: n, value });
    }));
  });

  it('leaves nothing out: six lines an axle, one of the unit, and one of each thing that is optional', () => {
    fc.assert(fc.property(figures, (own) => {
      const { axles, spare, freshWater, lpGas } = own;
      expect(statedFigures(own)).toHaveLength(1 + 6 * axles.length + [spare, freshWater, lpGas].filter((one) => one !== undefined).length);
      expect(new Set(told(own).map((line) => line.split(':')[0])).size).toBe(statedFigures(own).length);
    }));
  });

  it('changes whenever a figure by which a fault can be changes', () => {
    fc.assert(fc.property(figures, fc.nat(5), fc.constantFrom('tires', 'maxLoad', 'gawr'), (own, n, which) => {
      const i = n % own.axles.length;
      const axles = own.axles.map((one, at) => (at !== i ? one : which === 'tires' ? { ...one, tires: one.tires + 1 } : { ...one, [which]: { lb: 30_000 } }));
      expect(told({ ...own, axles })).not.toEqual(told(own));
    }));
  });
});
