import type { AxleFigures, LabelFigures, SaidPressure, SaidWeight } from '../setup/labels.ts';
import { agree, KG_PER_LB, kilograms, KPA_PER_PSI, limitOf, ratingText, waterWeight, weightText } from './label-units.ts';

/**
 * What the figures of labels say that cannot be, or seldom is. `tiresBelowGawr`: the tires of an axle carry less than its GAWR (571.110 S4.2.2,
 * 571.120 S5.1.2, known at second hand). `noCargo`: nothing may be loaded. `axlesBelowGvwr`: the axles together carry less than the GVWR: it can
 * be right, for the tongue or pin carries a part (common practice, no source). `waterAboveCargo`: a full tank is more than may be loaded.
 * `unitsApart`: two units of one value do not say the same.
 */
export interface LabelFault {
  kind: 'tiresBelowGawr' | 'noCargo' | 'axlesBelowGvwr' | 'waterAboveCargo' | 'unitsApart';
  /** From the front, 1 the first; null of the unit. */
  axle: number | null;
  /** The two values that were held against each other. */
  is: string;
  against: string;
}

/** Faults with which no label may be fitted; the others are for a person to look at. */
export const GRAVE_FAULTS: readonly LabelFault['kind'][] = ['tiresBelowGawr', 'noCargo'];

/** Sidewalls and plates round both units: how far apart they may be (common practice, no source). */
const WEIGHT_SHARE = 0.005;
const PRESSURE_SHARE = 0.02;

/** What is wrong in the figures of a build; `cargo` in kilograms, null while the unit is not weighed. */
export function faultsOf(figures: LabelFigures, cargo: number | null): LabelFault[] {
  const { gvwr, axles, freshWater } = figures;
  const faults = axles.flatMap((axle, i) => tiresFault(axle, i + 1));
  const load = cargo === null ? null : limitOf(cargo);
  if (load !== null && load.lb < 1) faults.push({ kind: 'noCargo', axle: null, is: weightText(load), against: ratingText(gvwr) });
  const together = axles.reduce((sum, { gawr }) => sum + kilograms(gawr), 0);
  if (less(together, kilograms(gvwr))) faults.push({ kind: 'axlesBelowGvwr', axle: null, is: weightText(limitOf(together)), against: ratingText(gvwr) });
  if (freshWater && load !== null && load.lb >= 1 && waterWeight(freshWater).kg > load.kg) {
    faults.push({ kind: 'waterAboveCargo', axle: null, is: weightText(waterWeight(freshWater)), against: weightText(load) });
  }
  return [...faults, ...unitsApart(figures)];
}

function tiresFault({ gawr, tires, maxLoad }: AxleFigures, axle: number): LabelFault[] {
  const carried = tires * kilograms(maxLoad);
  return less(carried, kilograms(gawr)) ? [{ kind: 'tiresBelowGawr', axle, is: weightText(limitOf(carried)), against: ratingText(gawr) }] : [];
}

/** By more than the last decimals. */
const less = (a: number, b: number): boolean => a < b - 1e-6;

function unitsApart({ gvwr, axles, spare, lpGas }: LabelFigures): LabelFault[] {
  const weight = (said: SaidWeight | undefined, axle: number | null): LabelFault[] => (!said || agree(said.lb, said.kg, KG_PER_LB, WEIGHT_SHARE) ? []
    : [{ kind: 'unitsApart', axle, is: `${said.kg} kg`, against: `${said.lb} lb` }]);
  const pressure = (said: SaidPressure | undefined, axle: number | null): LabelFault[] => (!said || agree(said.psi, said.kPa, KPA_PER_PSI, PRESSURE_SHARE) ? []
    : [{ kind: 'unitsApart', axle, is: `${said.kPa} kPa`, against: `${said.psi} psi` }]);
  return [
    ...weight(gvwr, null), ...weight(lpGas, null), ...pressure(spare?.coldPressure, null),
    ...axles.flatMap(({ gawr, maxLoad, tire }, i) => [...weight(gawr, i + 1), ...weight(maxLoad, i + 1), ...pressure(tire.coldPressure, i + 1)]),
  ];
}
