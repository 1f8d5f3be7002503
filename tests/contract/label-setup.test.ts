import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { plantSchema } from '../../server/contract/plant.ts';
import { faultsOf } from '../../server/core/gates/label-faults.ts';
import { figuresFor } from '../../server/core/gates/label-figures.ts';
import type { LabelSetup } from '../../server/core/setup/labels.ts';

type Document = { labels: Record<string, unknown> & { figures: Record<string, unknown>[] }; checks: { code: string; items: Record<string, unknown>[] }[] };
const demo = (): Document => JSON.parse(readFileSync(new URL('../../seed/plant.json', import.meta.url), 'utf8')) as Document;
function wrongIn(change: (plant: Document) => void): [string, string][] {
  const plant = demo();
  change(plant);
  return plantSchema.safeParse(plant).error?.issues.map(({ path, message }) => [path.join('.'), message]) ?? [];
}
const labelItems = (plant: Document) => plant.checks.find(({ code }) => code === 'LABEL')!.items;

describe('the labels in a set-up', () => {
  it('of the demo go together for every model with every set of options, and nobody confirmed them', () => {
    const plant = plantSchema.parse(demo());
    const { labels, models, options } = plant;
    for (const { code: model } of models) {
      for (let set = 0; set < 2 ** options.length; set++) {
        const figures = figuresFor(labels!, { model, options: options.filter((_, i) => (set >> i) & 1).map(({ code }) => code) })!;
        expect(faultsOf(figures, null)).toEqual([]);
        expect(figures.confirmed).toBeNull();
      }
    }
    expect(labels!.required).toEqual(['certification', 'tires', 'cargo']);
  });

  it('need a measured item in pounds or kilograms at which the unit is weighed', () => {
    expect(wrongIn(({ labels }) => (labels['weighing'] = { check: 'LABEL', item: 'NONE' }))).toEqual([['labels.weighing', 'there is no measured item NONE in a check LABEL']]);
    expect(wrongIn(({ labels }) => (labels['weighing'] = { check: 'LABEL', item: 'VIN' }))).toEqual([['labels.weighing', 'there is no measured item VIN in a check LABEL']]);
    expect(wrongIn((plant) => (labelItems(plant)[0]!['unit'] = 'N'))).toEqual([['labels.weighing', 'is measured in N, not in lb or kg']]);
  });

  it('need an item that signs each label wanted, and no item signs one of a plant without labels', () => {
    expect(wrongIn((plant) => delete labelItems(plant)[4]!['label'])).toEqual([['labels.required.2', 'no item of a check signs the label cargo as fitted']]);
    expect(wrongIn((plant) => delete (plant as Partial<Document>).labels)).toEqual([['labels', 'the item THERE of the check LABEL signs a label, and the plant has no labels']]);
    expect(wrongIn(({ labels }) => (labels['required'] = ['cargo', 'cargo']))).toEqual([['labels.required.1', 'cargo stands twice']]);
    expect(wrongIn(({ labels }) => delete labels['required'])).toEqual([]);
  });

  it('name models, options and count points that there are', () => {
    expect(wrongIn(({ labels }) => Object.assign(labels.figures[0]!, { models: ['LF99'], options: ['POOL'] }))).toEqual([
      ['labels.figures.0.models.0', 'there is no model LF99'], ['labels.figures.0.options.0', 'there is no option POOL'],
    ]);
    expect(wrongIn(({ labels }) => (labels['manufactured'] = 'NOWHERE'))[0]![0]).toBe('labels.manufactured');
  });

  it('state a value in one of its two units at least', () => {
    expect(wrongIn(({ labels }) => (labels.figures[0]!['gvwr'] = {}))).toEqual([['labels.figures.0.gvwr', 'is stated in neither of its two units']]);
    expect(wrongIn(({ labels }) => (labels.figures[0]!['gvwr'] = { kg: 3_175 }))).toEqual([]);
    expect(wrongIn(({ labels }) => (labels.figures[0]!['freshWater'] = {}))).toEqual([['labels.figures.0.freshWater', 'is stated in neither of its two units']]);
  });

  it('have a type of vehicle and nothing required where that is left out', () => {
    const plant = demo();
    delete plant.labels['vehicleType'];
    delete plant.labels['required'];
    expect(plantSchema.parse(plant).labels satisfies LabelSetup | undefined).toMatchObject({ vehicleType: 'Trailer', required: [] });
  });
});
