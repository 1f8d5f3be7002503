import type { ForWhich, LimitConfirmed } from './quality.ts';

/**
 * Labels that a unit bears. `certification`: 49 CFR 567.4(g). `tires`: the tire and loading placard, 49 CFR 571.110 S4.3.5 or 571.120. `cargo`: the
 * cargo label of a recreational trailer, 72 FR 68442. Their wording is the plant's own: the program has the figures.
 */
export const LABEL_KINDS = ['certification', 'tires', 'cargo'] as const;
export type LabelKind = (typeof LABEL_KINDS)[number];

/** A value as the plant states it, in one unit or in both: what it does not state is converted (gates/label-units.ts). */
export interface SaidWeight { lb?: number | undefined; kg?: number | undefined }
export interface SaidPressure { psi?: number | undefined; kPa?: number | undefined }
export interface SaidVolume { gal?: number | undefined; l?: number | undefined }

export interface TireFigures {
  /** As the sidewall has it, load range among it. */
  size: string;
  rim: string;
  coldPressure: SaidPressure;
}

export interface AxleFigures {
  gawr: SaidWeight;
  tire: TireFigures;
  /** Tires on the axle, and what each carries at most. */
  tires: number;
  maxLoad: SaidWeight;
}

/** What the labels say of a build. Of entries that are for the same unit the last one holds, so that an option's comes after its model's. */
export interface LabelFigures extends ForWhich {
  gvwr: SaidWeight;
  /** From the front. */
  axles: AxleFigures[];
  spare?: TireFigures | undefined;
  freshWater?: SaidVolume | undefined;
  /** What the full LP-gas cylinders weigh. */
  lpGas?: SaidWeight | undefined;
  /** Who held these figures against which edition of the rule; null: nobody, they are examples. */
  confirmed: LimitConfirmed | null;
}

export interface LabelSetup {
  /** Those that must be signed as fitted before a release. */
  required: LabelKind[];
  /** As the certification label names it. */
  maker: string;
  vehicleType: string;
  /** The plant's own words of the conformity statement. */
  conformity?: string | undefined;
  /** Code of the count point at which a unit counts as manufactured; absent: when it is off its main line. */
  manufactured?: string | undefined;
  /** The measured item, in lb or kg, at which a unit is weighed as it is sold, unloaded, tanks and cylinders empty. */
  weighing: { check: string; item: string };
  figures: LabelFigures[];
}
