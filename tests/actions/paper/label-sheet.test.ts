import { describe, expect, it } from 'vitest';
import { labelSheet } from '../../../server/actions/paper/label-sheet.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { LABEL_VIN, labelCheck, labelPlant, someFigures } from '../../support/given-labels.ts';
import { readPage } from '../../support/read-codes.ts';

const U = 'CF1';
const plant = labelPlant({ maker: 'Maker <b>&', figures: [someFigures({ confirmed: { who: 'quality', when: '2026-05-04', edition: 'Example, first edition' } })] });
const state = foldUnit(U, [registered(U), at(1, 'bindVin', { unit: U, vin: LABEL_VIN }), labelCheck(2, 5_480)], setupOf(plant)).state;
const DEFER = { en: 'The plant confirms these figures against the rule in force.', es: 'La planta confirma estas cifras con la norma vigente.' };

describe('the sheet of label figures', () => {
  it.each(['en', 'es'] as const)('has every figure, says whose the wording is and who confirms, in %s', async (language) => {
    const page = await labelSheet(plant, state, minute(0), minute(9), language);
    for (const part of ['3447 kg (7600 lb)', '934 kg (2060 lb)', '448 kPa (65 psi)', '151 kg (332 lb)', LABEL_VIN, '571.110', DEFER[language], 'Example, first edition']) expect(page).toContain(part);
    expect(page).not.toMatch(/MISSING|FALTA|[{}]who/);
    expect(page).toContain('Maker &lt;b&gt;&amp;');
    expect(await readPage(page)).toEqual([{ said: U, format: 'Code128', text: U }]);
  });

  it('says what is missing and what cannot be', async () => {
    const bare = labelPlant();
    const page = await labelSheet(bare, foldUnit(U, [registered(U), labelCheck(2, 7_700)], setupOf(bare)).state, null, minute(9), 'en');
    for (const part of ['MISSING: no VIN is bound', 'MISSING: not off the line yet', 'Nothing may be loaded', 'These figures are not confirmed by the plant.']) expect(page).toContain(part);
    expect(await labelSheet(bare, foldUnit(U, [registered(U)], setupOf(bare)).state, null, minute(9), 'es')).toContain('FALTA: sin pesar');
  });

  it('of a plant without labels says so', async () => {
    const none = labelPlant({}, { labels: undefined, checks: [] });
    expect(await labelSheet(none, state, null, minute(9), 'en')).toContain('has no labels');
  });
});
