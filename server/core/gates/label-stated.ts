import type { LabelFigures, TireFigures } from '../setup/labels.ts';
import type { FigureName } from './label-figures.ts';
import { pressureText, ratingText, volumeText } from './label-units.ts';

export type StatedName = FigureName | 'tires' | 'maxLoad' | 'lpGas';

export interface StatedFigure {
  name: StatedName;
  /** Of which axle from the front, 1 the first; null for the unit's. */
  axle: number | null;
  value: string;
}

/**
 * Everything that an entry of label figures states, in its order: what a person holds against the code who confirms it. Of a label some of it is
 * only reckoned with: what a tire carries at most, what the gas weighs.
 */
export function statedFigures({ gvwr, axles, spare, freshWater, lpGas }: LabelFigures): StatedFigure[] {
  return [
    stated('gvwr', ratingText(gvwr)),
    ...axles.flatMap(({ gawr, tire, tires, maxLoad }, i) => [
      stated('gawr', ratingText(gawr), i + 1), stated('tire', tire.size, i + 1), stated('rim', tire.rim, i + 1), stated('pressure', pressureText(tire.coldPressure), i + 1),
      stated('tires', String(tires), i + 1), stated('maxLoad', ratingText(maxLoad), i + 1),
    ]),
    ...(spare ? [stated('spare', wholeTire(spare))] : []), ...(freshWater ? [stated('water', volumeText(freshWater))] : []), ...(lpGas ? [stated('lpGas', ratingText(lpGas))] : []),
  ];
}

function stated(name: StatedName, value: string, axle: number | null = null): StatedFigure {
  return { name, axle, value };
}

const wholeTire = ({ size, rim, coldPressure }: TireFigures): string => `${size}, ${rim}, ${pressureText(coldPressure)}`;
