import type { LabelSigned } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { LabelKind } from '../setup/labels.ts';
import type { Plant } from '../setup/plant.ts';
import { checksFor } from './check.ts';
import { GRAVE_FAULTS } from './label-faults.ts';
import { cargoKilograms, figuresFor, unitLabels } from './label-figures.ts';
import { kilograms, limitOf } from './label-units.ts';

/**
 * Why a label that the plant wants keeps a unit from its release: `noItem` no check of the unit signs it, `figures` some are missing,
 * `faults` they cannot be, `notSigned` nobody signed that it is fitted, `changed` they are others than when it was signed.
 */
export type LabelLack = 'noItem' | 'figures' | 'faults' | 'notSigned' | 'changed';

export interface LackingLabel {
  label: LabelKind;
  /** Text and station of the item that signs it, null where there is none. */
  item: { text: string; station: string } | null;
  lack: LabelLack;
}

/** What somebody signs who says that the label is fitted: its figures as they are now. The month of manufacture is not among them, for it is no function of the state. */
export function labelSigned(plant: Plant, state: UnitState, label: LabelKind, at: number, who: string): LabelSigned {
  const figures = plant.labels ? figuresFor(plant.labels, state) : null;
  const cargo = figures && cargoKilograms(figures, state);
  return { label, at, who, said: figuresSaid(plant, state, label), cargoLb: cargo === null ? null : limitOf(cargo).lb };
}

/** Every figure of the label but its month and its cargo, which has a tolerance of its own. */
function figuresSaid(plant: Plant, state: UnitState, label: LabelKind): string {
  const own = unitLabels(plant, state, null)?.labels.find((one) => one.label === label)?.figures ?? [];
  return own.filter(({ name }) => name !== 'manufactured' && name !== 'cargo').map(({ name, axle, value }) => `${name}${axle ?? ''} ${value}`).join('; ');
}

/** A label's cargo stands until what may be loaded falls by more than the lesser of 1.5 % of the GVWR and 100 lb (72 FR 68442). All in pounds. */
export function cargoStands(signed: number, now: number, gvwr: number): boolean {
  return now >= signed - Math.min(0.015 * gvwr, 100);
}

/** The labels that the plant wants and that are not signed as fitted with the unit's figures, in the order of the set-up. */
export function lackingLabels(state: UnitState, plant: Plant): LackingLabel[] {
  const setup = plant.labels;
  if (!setup) return [];
  return setup.required.flatMap((label): LackingLabel[] => {
    const [item = null] = checksFor(plant, state.model, state.options)
      .flatMap(({ station, items }) => items.filter((one) => one.label === label).map(({ text }) => ({ text, station })));
    const lack = item === null ? 'noItem' : lackOf(state, plant, label);
    return lack === null ? [] : [{ label, item, lack }];
  });
}

function lackOf(state: UnitState, plant: Plant, label: LabelKind): LabelLack | null {
  const signed = state.labels.find((one) => one.label === label);
  const all = unitLabels(plant, state, null)!;
  const figures = all.labels.find((one) => one.label === label)!.figures;
  if (figures.some(({ name, missing }) => missing !== null && name !== 'manufactured')) return 'figures';
  if (all.faults.some(({ kind }) => GRAVE_FAULTS.includes(kind))) return 'faults';
  if (!signed) return 'notSigned';
  if (signed.said !== figuresSaid(plant, state, label)) return 'changed';
  if (!figures.some(({ name }) => name === 'cargo')) return null;
  const { cargoLb } = labelSigned(plant, state, label, 0, '');
  const gvwr = limitOf(kilograms(figuresFor(plant.labels!, state)!.gvwr)).lb;
  return signed.cargoLb !== null && cargoLb !== null && cargoStands(signed.cargoLb, cargoLb, gvwr) ? null : 'changed';
}
