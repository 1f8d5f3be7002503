import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checksWords } from '../../kiosk/words/checks.ts';
import { traveler } from '../../server/actions/paper/traveler.ts';
import { plantSchema } from '../../server/contract/plant.ts';
import { foldUnit } from '../../server/core/facts/fold-unit.ts';
import { checksFor } from '../../server/core/gates/check.ts';
import { minute, registered, setupOf } from '../support/given.ts';

const plant = plantSchema.parse(JSON.parse(readFileSync(new URL('../../seed/plant.json', import.meta.url), 'utf8')));
/** Work that can hurt someone: pressure, gas, mains, batteries, jacks and hoists, moving parts. */
const CAN_HURT = /pressur|gas|mains|12-volt|brake|jack|hoist|slide-out/i;

describe('safety words', () => {
  it('stand at every check of the demo that can hurt someone', () => {
    const wanted = plant.checks!.filter(({ name, items }) => CAN_HURT.test([name, ...items.map(({ text }) => text)].join(' ')));
    expect(wanted.length).toBeGreaterThan(5);
    expect(wanted.filter(({ caution }) => caution === '').map(({ code }) => code)).toEqual([]);
  });

  it.each(['en', 'es'] as const)('stand on the sheet of a unit with every such check, and defer to local codes and licensed practice (%s)', async (language) => {
    const unit = foldUnit('CF1', [registered('CF1', { model: plant.models[0]!.code, options: [] })], setupOf(plant)).state;
    const page = await traveler(plant, unit, minute(9), language);
    const cautions = checksFor(plant, unit.model, unit.options).map(({ caution }) => caution).filter((caution) => caution !== '');
    expect(cautions.length).toBeGreaterThan(5);
    for (const caution of cautions) expect(page).toContain(`⚠ ${caution.replaceAll("'", '&#39;')}`.slice(0, 30));
    expect(page.split(checksWords['quality.defer'][language]).length - 1).toBe(cautions.length);
  });

  it('say on the screen what they say on the sheet', () => {
    expect(checksWords['quality.defer'].en).toMatch(/Local codes and licensed practice come first/);
    expect(checksWords['item.notConfirmed'].en).toMatch(/not confirmed/);
  });

  it('let no example limit of the demo pass for a confirmed one', () => {
    const measured = plant.checks!.flatMap(({ items }) => items).filter((item) => item.kind === 'measured' && (item.low !== null || item.high !== null));
    for (const item of measured) expect(item).toMatchObject({ confirmed: null, text: expect.stringMatching(/example limit/) as string });
  });
});
