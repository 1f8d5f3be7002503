import type { Plant } from '../../server/core/setup/plant.ts';
import type { CheckItem } from '../../server/core/setup/quality.ts';
import type { LabelFigures, LabelSetup } from '../../server/core/setup/labels.ts';
import { at } from './given.ts';
import { aCheck, qualityPlant, yesNo } from './given-quality.ts';

const tire = { size: 'ST225/75R15 load range D', rim: '15x6J', coldPressure: { psi: 65 } };

/** Two axles of 4,000 lb, four tires of 2,540 lb, 7,600 lb in all, gas for 60 lb, 40 gal of water. */
export const someFigures = (more: Partial<LabelFigures> = {}): LabelFigures => ({
  gvwr: { lb: 7_600 }, axles: [0, 1].map(() => ({ gawr: { lb: 4_000 }, tire, tires: 2, maxLoad: { lb: 2_540 } })), spare: tire, freshWater: { gal: 40 }, lpGas: { lb: 60 }, confirmed: null, ...more,
});

export const labelSetup = (more: Partial<LabelSetup> = {}): LabelSetup => ({
  required: ['certification', 'tires', 'cargo'], maker: 'Cobble Fork Trailer Works', vehicleType: 'Trailer', conformity: 'As the plant words it', weighing: { check: 'LABEL', item: 'weight' }, figures: [someFigures()], ...more,
});

/** The item at which the unit is weighed. */
export const weighed: CheckItem = { code: 'weight', text: 'Unloaded weight', kind: 'measured', unit: 'lb', low: null, high: null, confirmed: null, zone: null, severity: 'safety' };

/** The plant of `qualityPlant` with nothing to do but the labels: weighed and signed in one check at C. */
export function labelPlant(more: Partial<LabelSetup> = {}, rest: Partial<Plant> = {}): Plant {
  const items: CheckItem[] = [weighed, { ...yesNo('certification'), label: 'certification' }, { ...yesNo('placard'), label: 'tires' }, { ...yesNo('cargo'), label: 'cargo' }];
  return qualityPlant({ checks: [aCheck('LABEL', 'C', { certification: true, items })], partKinds: [], releaseItems: [], labels: labelSetup(more), ...rest });
}

export const LABEL_VIN = '0ZZTB2525T0000417';

/** An attempt at the labels' check: the pounds read, and what of the three labels is fitted. Null leaves an item out. */
export function labelCheck(m: number, pounds: number | null, fitted: Partial<Record<'certification' | 'placard' | 'cargo', boolean>> = { certification: true, placard: true, cargo: true }, unit = 'CF1') {
  const results = Object.entries(fitted).map(([item, value]) => ({ item, value, judged: null }));
  return at(m, 'checkResult', { unit, check: 'LABEL', version: 1, results: [...results, ...(pounds === null ? [] : [{ item: 'weight', value: pounds, judged: true }])] });
}
