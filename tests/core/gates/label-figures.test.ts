import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { cargoKilograms, figuresFor, unitLabels } from '../../../server/core/gates/label-figures.ts';
import { GRAVE_FAULTS } from '../../../server/core/gates/label-faults.ts';
import { limitOf } from '../../../server/core/gates/label-units.ts';
import type { LabelKind } from '../../../server/core/setup/labels.ts';
import type { Plant } from '../../../server/core/setup/plant.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { LABEL_VIN, labelCheck, labelPlant, labelSetup, someFigures } from '../../support/given-labels.ts';

const U = 'CF1';
const state = (plant: Plant, ...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setupOf(plant)).state;
const vin = at(1, 'bindVin', { unit: U, vin: LABEL_VIN });
/** The figures of a label of a unit with VIN, weighed at `pounds`, built in June 2026. */
function said(label: LabelKind, plant = labelPlant(), pounds: number | null = 5_480): string[] {
  const labels = unitLabels(plant, state(plant, vin, ...(pounds === null ? [] : [labelCheck(2, pounds)])), Date.parse('2026-06-15T12:00:00Z'))!;
  return labels.labels.find((one) => one.label === label)!.figures.map(({ name, axle, value, missing }) => `${name}${axle ?? ''}: ${missing ?? value}`);
}

describe('the certification label of a trailer', () => {
  // 49 CFR 567.4(g) wants, in this order: maker, month and year, GVWR, GAWR of each axle, conformity, VIN, type (check values 7.6, at second hand).
  it('has what the rule wants in its order', () => {
    expect(said('certification')).toEqual([
      'maker: Cobble Fork Trailer Works', 'manufactured: 06/2026', 'gvwr: 3447 kg (7600 lb)', 'gawr1: 1814 kg (4000 lb)', 'gawr2: 1814 kg (4000 lb)', 'conformity: As the plant words it', `vin: ${LABEL_VIN}`, 'type: Trailer',
    ]);
  });

  it('says exactly what is missing', () => {
    const plant = labelPlant({ conformity: undefined, figures: [someFigures({ models: ['OTHER'] })] });
    const { labels, tireRule } = unitLabels(plant, state(plant), null)!;
    expect(labels[0]!.figures.filter(({ missing }) => missing !== null).map(({ name, missing }) => [name, missing])).toEqual([
      ['manufactured', 'notBuilt'], ['gvwr', 'noFigures'], ['gawr', 'noFigures'], ['conformity', 'notStated'], ['vin', 'noVin'],
    ]);
    expect(tireRule).toBeNull();
    const wrong = state(plant, at(1, 'bindVin', { unit: U, vin: LABEL_VIN.replace('417', '418') }));
    expect(unitLabels(plant, wrong, null)!.labels[0]!.figures.find(({ name }) => name === 'vin')).toMatchObject({ value: '', missing: 'vinWrong' });
  });

  it('has the month on the clock of the plant, not that of Greenwich', () => {
    const plant = labelPlant({}, { timeZone: 'America/Indiana/Indianapolis' });
    const month = (utc: string) => unitLabels(plant, state(plant), Date.parse(utc))!.labels[0]!.figures[1]!.value;
    expect(month('2026-07-01T03:59:00Z')).toBe('06/2026');
    expect(month('2026-07-01T04:00:00Z')).toBe('07/2026');
  });
});

describe('the tire and loading placard', () => {
  // 571.110 S4.3.5 (check values 7.9): cargo in kg and lb, size and cold pressure, the spare's too.
  it('has cargo, tires, pressures and the spare up to 10,000 lb', () => {
    expect(said('tires')).toEqual([
      'cargo: 934 kg (2060 lb)', 'tire1: ST225/75R15 load range D', 'pressure1: 448 kPa (65 psi)', 'tire2: ST225/75R15 load range D', 'pressure2: 448 kPa (65 psi)', 'spare: ST225/75R15 load range D 448 kPa (65 psi)',
    ]);
  });

  // Check values 7.8: 571.110 for a GVWR up to 10,000 lb, 571.120 above. What the placard of 571.120 has is from memory.
  it.each([[10_000, '571.110'], [10_001, '571.120']])('is made after the rule for a GVWR of %i lb', (lb, rule) => {
    const plant = labelPlant({ figures: [someFigures({ gvwr: { lb } })] });
    expect(unitLabels(plant, state(plant), null)!.tireRule).toBe(rule);
    expect(said('tires', plant).some((line) => line.startsWith('rim1'))).toBe(rule === '571.120');
  });
});

describe('the cargo label', () => {
  // 72 FR 68442 and check values 7.12: 7,600 − 5,480 − 60 = 2,060 lb (934.4 kg); 40 gal of water are 332 lb.
  it('has VIN, cargo and the weight of the water', () => {
    expect(said('cargo')).toEqual([`vin: ${LABEL_VIN}`, 'cargo: 934 kg (2060 lb)', 'water: 151 L (40 gal)', 'waterWeight: 151 kg (332 lb)']);
    expect(said('cargo', labelPlant(), null)[1]).toBe('cargo: notWeighed');
    expect(said('cargo', labelPlant({ figures: [someFigures({ freshWater: undefined })] }))).toHaveLength(2);
  });

  it('takes the last weighing that a person let pass', () => {
    const plant = labelPlant();
    const bad = at(4, 'checkResult', { unit: U, check: 'LABEL', version: 1, results: [{ item: 'weight', value: 9_999, judged: false }] });
    const { weighed } = state(plant, labelCheck(2, 5_400), labelCheck(3, 5_480), bad, at(5, 'checkResult', { unit: U, check: 'LABEL', version: 1, results: [{ item: 'weight', value: 1, judged: null }] }));
    expect(weighed).toMatchObject({ weight: { lb: 5_480 }, at: minute(3) });
  });

  it('never allows more than the rating leaves, and to the pound all of it', () => {
    fc.assert(fc.property(fc.integer({ min: 1_000, max: 20_000 }), fc.nat(20_000), fc.nat(200), (gvwr, pounds, gas) => {
      const kg = cargoKilograms(someFigures({ gvwr: { lb: gvwr }, lpGas: { lb: gas } }), { weighed: { weight: { lb: pounds }, at: 0, who: '' } })!;
      expect(limitOf(kg).lb + pounds + gas).toBe(gvwr);
    }));
  });
});

describe('the figures of a build', () => {
  it('are those of the last entry for its model and options', () => {
    const setup = labelSetup({ figures: [someFigures(), someFigures({ models: ['M'], gvwr: { lb: 1 } }), someFigures({ models: ['M'], options: ['BUNK'], gvwr: { lb: 2 } })] });
    expect(figuresFor(setup, { model: 'X', options: ['BUNK'] })?.gvwr.lb).toBe(7_600);
    expect(figuresFor(setup, { model: 'M', options: [] })?.gvwr.lb).toBe(1);
    expect(figuresFor(setup, { model: 'M', options: ['AWN', 'BUNK'] })?.gvwr.lb).toBe(2);
    expect(figuresFor({ ...setup, figures: [] }, { model: 'M', options: [] })).toBeNull();
  });

  it('are none for a plant without labels', () => expect(unitLabels(labelPlant({}, { labels: undefined, checks: [] }), state(labelPlant()), null)).toBeNull());
});

describe('what cannot be', () => {
  const faults = (more: Parameters<typeof someFigures>[0], pounds = 5_480) => {
    const plant = labelPlant({ figures: [someFigures(more)] });
    return unitLabels(plant, state(plant, labelCheck(2, pounds)), null)!.faults;
  };
  const axle = someFigures().axles[0]!;

  it('is nothing where the figures go together', () => expect(faults({})).toEqual([]));

  // 571.110 S4.2.2, 571.120 S5.1.2 (check values 7.16, weakly known): the tires of each axle carry at least its GAWR.
  it('is an axle that is rated for more than its tires carry', () => {
    expect(faults({ axles: [axle, { ...axle, gawr: { lb: 5_081 } }] })).toEqual([{ kind: 'tiresBelowGawr', axle: 2, is: '2304 kg (5080 lb)', against: '2305 kg (5081 lb)' }]);
    expect(faults({ axles: [axle, { ...axle, gawr: { lb: 5_080 } }] })).toEqual([]);
  });

  it('is a unit as heavy as its rating, one of two units that says another thing, and, to be looked at, light axles and much water', () => {
    expect(faults({}, 7_540).map(({ kind }) => kind)).toEqual(['noCargo']);
    expect(faults({}, 7_539).map(({ kind }) => kind)).toEqual(['waterAboveCargo']);
    expect(faults({ gvwr: { lb: 8_200 } }).map(({ kind }) => kind)).toEqual(['axlesBelowGvwr']);
    expect(faults({ lpGas: { lb: 60, kg: 60 } })).toEqual([{ kind: 'unitsApart', axle: null, is: '60 kg', against: '60 lb' }]);
    expect(faults({ axles: [axle, { ...axle, tire: { ...axle.tire, coldPressure: { psi: 65, kPa: 500 } } }] })).toEqual([{ kind: 'unitsApart', axle: 2, is: '500 kPa', against: '65 psi' }]);
    expect(GRAVE_FAULTS).not.toContain('axlesBelowGvwr');
  });

  it('is told of an axle exactly when its tires carry less', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 9_000 }), fc.integer({ min: 1, max: 8 }), fc.integer({ min: 1, max: 4_000 }), (gawr, tires, maxLoad) => {
      const found = faults({ gvwr: { lb: 1 }, axles: [{ ...axle, gawr: { lb: gawr }, tires, maxLoad: { lb: maxLoad } }] }, 0).some(({ kind }) => kind === 'tiresBelowGawr');
      expect(found).toBe(tires * maxLoad < gawr);
    }));
  });
});
