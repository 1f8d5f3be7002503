import { z } from 'zod';
import { vinFaults } from '../core/gates/vin.ts';
import { trailerVin } from '../core/gates/trailer-vin.ts';
import { LABEL_KINDS } from '../core/setup/labels.ts';
import type { VinMakeUp } from '../core/setup/quality.ts';
import { localDate, name, reason, text } from './shapes.ts';

/** Short enough to stand in an id beside a fact's. */
export const itemCode = z.string().trim().regex(/^[A-Za-z0-9_-]{1,40}$/, 'must be 1 to 40 letters, digits, - and _');
const severity = z.enum(['minor', 'major', 'safety']);
const zoneOf = name.nullable().default(null).describe('Code of a zone');
export const forWhich = {
  models: z.array(name).min(1).optional().describe('Codes of models; left out: every model'),
  options: z.array(name).min(1).optional().describe('Codes of options, one of which is enough; left out: whatever the options'),
};
const item = { code: itemCode, text: reason, zone: zoneOf.describe('Zone of the open work that a failure opens'), severity: severity.default('major'),
  wantsPhoto: z.boolean().optional().describe('Without a photo the item is not done'),
  label: z.enum(LABEL_KINDS).optional().describe('Passing the item signs this label as fitted, with the figures of the unit at that moment') };
export const confirmed = z.strictObject({ who: name, when: localDate, edition: reason.describe('Code in force and its edition') });

const checkItem = z.discriminatedUnion('kind', [
  z.strictObject({ ...item, kind: z.literal('yesNo') }),
  z.strictObject({ ...item, kind: z.literal('choice'), choices: z.array(z.strictObject({ text: name, passes: z.boolean() })).min(2).max(20) }),
  z.strictObject({
    ...item, kind: z.literal('measured'), unit: name, low: z.number().nullable().default(null), high: z.number().nullable().default(null),
    confirmed: confirmed.nullable().default(null).describe('Who confirmed the limits against the code in force. Until then the number passes and fails nothing: a person judges'),
  }),
]);

export const zones = z.array(z.strictObject({ code: name, name })).max(100).optional().describe('Rooms of a unit that stations close: under floor, wall cavity, roof cavity');

export const checks = z.array(z.strictObject({
  code: itemCode, name, version: z.int().min(1).describe('Rises whenever the list changes'), station: name, ...forWhich,
  zones: z.array(name).default([]).describe('Work in one of these after a pass makes the check due again'),
  maxAgeHours: z.number().positive().nullable().default(null).describe('Hours after which a pass is too old for a release'),
  certification: z.boolean().default(false).describe('The check of the certification label'),
  caution: text.default('').describe('What can hurt someone, and who may do it'),
  items: z.array(checkItem).min(1).max(100),
})).max(200).optional().describe('Checks that a unit must pass before it leaves their station, and before it is released');

export const partKinds = z.array(z.strictObject({
  code: itemCode, name, station: name, ...forWhich, zone: zoneOf, lot: z.boolean().default(false).describe('Whether a lot number is wanted besides'),
  format: z.string().min(1).max(200).refine(isFormat, 'must be dotTin or a regular expression').optional().describe('dotTin: a tyre identification number (49 CFR 574.5); else a regular expression for the whole number'),
})).max(200).optional().describe('Components whose numbers are recorded');

export const releaseItems = z.array(z.strictObject({ code: itemCode, name })).max(50).optional().describe('What the plant wants settled before a release: papers, keys, credit');

export const vinMakeUp = z.strictObject({
  manufacturer: z.string().describe('Positions 1-3; where the third is 9 also 12-14, six characters in all'),
  descriptors: z.record(name, z.string().length(5)).describe('Positions 4-8 by code of the model'),
  modelYear: z.int().min(1980).max(2100), plant: z.string().length(1).describe('Position 11'),
}).superRefine((makeUp, context) => {
  for (const message of makeUpProblems(makeUp)) context.addIssue({ code: 'custom', message });
}).optional().describe('How the plant makes up its VINs (49 CFR 565.15); left out: none is wanted');

function isFormat(format: string): boolean {
  try {
    return format === 'dotTin' || new RegExp(format) instanceof RegExp;
  } catch {
    return false;
  }
}

/** What a make-up of VINs has in it that no VIN can have. */
function makeUpProblems(makeUp: VinMakeUp): string[] {
  const length = makeUp.manufacturer[2] === '9' ? 6 : 3;
  if (makeUp.manufacturer.length !== length) return [`manufacturer has ${length} characters where its third is ${makeUp.manufacturer[2] ?? 'missing'}`];
  return Object.keys(makeUp.descriptors).filter((model) => {
    const vin = trailerVin(makeUp, model, 1);
    return vin === null || vinFaults(vin).length > 0;
  }).map((model) => `the VINs of ${model} would have a character that no VIN has there`);
}
