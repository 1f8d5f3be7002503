import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { inventedVin } from '../../seed/trailer-vin.ts';
import { plantSchema } from '../../server/contract/plant.ts';
import { vinFaults } from '../../server/core/gates/vin.ts';

const plant = plantSchema.parse(JSON.parse(readFileSync(new URL('../../seed/plant.json', import.meta.url), 'utf8')));

it.each(plant.models.map(({ code }) => code))('invents VINs of %s in which nothing is wrong, each once', (model) => {
  const vins = Array.from({ length: 500 }, (_, serial) => inventedVin(plant.vin!, model, serial));
  for (const vin of vins) {
    expect(vin).toMatch(/^0/);
    expect(vinFaults(vin)).toEqual([]);
  }
  expect(new Set(vins).size).toBe(500);
});

it('says so when the plant has no make-up for a model', () => {
  expect(() => inventedVin(plant.vin!, 'Larkfoot 99', 1)).toThrow('Larkfoot 99');
});
