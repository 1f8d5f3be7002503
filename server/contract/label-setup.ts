import { z } from 'zod';
import { LABEL_KINDS } from '../core/setup/labels.ts';
import { confirmed, forWhich, itemCode } from './quality-setup.ts';
import { name, reason } from './shapes.ts';

const positive = z.number().positive().max(1_000_000);
const IN_NEITHER = 'is stated in neither of its two units';

const weight = z.strictObject({ lb: positive.optional(), kg: positive.optional() }).refine(({ lb, kg }) => lb !== undefined || kg !== undefined, IN_NEITHER)
  .describe('In pounds, kilograms or both; what is not stated is converted and rounded to the nearest whole');
const pressure = z.strictObject({ psi: positive.optional(), kPa: positive.optional() }).refine(({ psi, kPa }) => psi !== undefined || kPa !== undefined, IN_NEITHER)
  .describe('In psi, kilopascals or both; what is not stated is converted and rounded to the nearest whole');
const volume = z.strictObject({ gal: positive.optional(), l: positive.optional() }).refine(({ gal, l }) => gal !== undefined || l !== undefined, IN_NEITHER)
  .describe('In US gallons, litres or both');

const tire = z.strictObject({ size: name.describe('As the sidewall has it, with its load range'), rim: name, coldPressure: pressure });

/** An entry of `labels.figures`; also what a person who confirms one says that they saw. */
export const labelFigures = z.strictObject({
  ...forWhich, gvwr: weight.describe('Gross vehicle weight rating'),
  axles: z.array(z.strictObject({
    gawr: weight.describe('Gross axle weight rating'), tire, tires: z.int().min(1).max(8).describe('Tires on the axle'), maxLoad: weight.describe('What each of its tires carries at most'),
  })).min(1).max(6).describe('From the front'),
  spare: tire.optional(), freshWater: volume.optional().describe('Full tank of fresh water'), lpGas: weight.optional().describe('What the full LP-gas cylinders weigh'),
  confirmed: confirmed.nullable().default(null).describe('Who held these figures against the rule in force. Until then they are examples'),
});

export const labels = z.strictObject({
  required: z.array(z.enum(LABEL_KINDS)).max(LABEL_KINDS.length).default([]).describe('Labels that an item of a check must sign as fitted before a release'),
  maker: name, vehicleType: name.default('Trailer'),
  conformity: reason.optional().describe("The plant's own words of the conformity statement, as its label has them"),
  manufactured: name.optional().describe('Code of the count point at which a unit counts as manufactured; left out: when it is off its main line'),
  weighing: z.strictObject({ check: itemCode, item: itemCode }).describe('The measured item, in lb or kg, at which a unit is weighed unloaded'),
  figures: z.array(labelFigures).max(500).describe('What the labels say of a build; of entries for the same unit the last one holds'),
}).optional().describe('Figures of the certification label (49 CFR 567.4), the tire and loading placard (571.110, 571.120) and the cargo label. The plant confirms them, and words its labels itself');
