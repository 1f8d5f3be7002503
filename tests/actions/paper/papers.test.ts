import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { placards } from '../../../server/actions/paper/placards.ts';
import { tags } from '../../../server/actions/paper/tags.ts';
import { traveler } from '../../../server/actions/paper/traveler.ts';
import { plantSchema } from '../../../server/contract/plant.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { aCheck, find, measured, qualityPlant, record } from '../../support/given-quality.ts';
import { readPage } from '../../support/read-codes.ts';

const U = 'CF1';
const VIN = '0ZZTB2525T0000417';
const plant = qualityPlant({ checks: [aCheck('GAS', 'B', { name: 'Gas tightness', caution: 'Qualified people only', items: [measured('p', 1, 2, false)] })] });
const hold = at(2, 'openHold', { unit: U, reason: 'Part <missing> & "late"', keepsFrom: 'work', fromStation: null, note: '' });
const state = foldUnit(U, [registered(U, { dealer: '<script>alert(1)</script>' }), at(1, 'bindVin', { unit: U, vin: VIN }), find(2), hold, record(3)], setupOf(plant)).state;

describe('the traveler of a unit', () => {
  it('has its serial and VIN in codes that another decoder reads', async () => {
    const read = await readPage(await traveler(plant, state, minute(9), 'en'));
    expect(read).toEqual([
      { said: U, format: 'QRCode', text: U }, { said: U, format: 'Code128', text: U }, { said: VIN, format: 'Code39', text: `I${VIN}` },
    ]);
  });

  it('has the route with its standards, open work, holds, parts, checks with their caution, and says that limits are not confirmed', async () => {
    const page = await traveler(plant, state, minute(9), 'en');
    for (const part of ['<td>A</td><td>A</td><td>25</td>', '<td>B</td><td>B</td><td>30</td>', 'Screw missing wall A', 'Part AXLE</td><td class="sign">N-1', 'Gas tightness', '⚠ Qualified people only', 'Limits are examples until confirmed']) {
      expect(page).toContain(part);
    }
    expect(await traveler(plant, state, minute(9), 'es')).toContain('Trabajo pendiente');
    expect(await traveler({ ...plant, checks: [aCheck('K', 'B')] }, state, minute(9), 'en')).not.toContain('Limits are examples');
  });

  it('lets nothing that was typed become part of the page', async () => {
    const page = await traveler(plant, state, minute(9), 'en');
    expect(page).not.toContain('<script');
    expect(page).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(page).toContain('Part &lt;missing&gt; &amp; &quot;late&quot;');
  });
});

describe('tags', () => {
  it('are one for each open hold and each recorded part, with codes that another decoder reads', async () => {
    const page = await tags(plant, state, 'en');
    expect(page.match(/class="tag"/g)).toHaveLength(2);
    expect(await readPage(page)).toEqual([
      { said: U, format: 'Code128', text: U }, { said: 'N-1', format: 'DataMatrix', text: 'N-1' }, { said: U, format: 'Code128', text: U },
    ]);
  });

  it('say that there are none', async () => {
    expect(await tags(plant, foldUnit(U, [registered(U)], setupOf(plant)).state, 'en')).toContain('no open hold');
  });
});

describe('placards', () => {
  it('of the demo plant are one for each station and place, every code read by another decoder', async () => {
    const demo = plantSchema.parse(JSON.parse(readFileSync(new URL('../../../seed/plant.json', import.meta.url), 'utf8')));
    const codes = [...demo.lines.flatMap(({ stations }) => stations), ...demo.places].map(({ code }) => code);
    const read = await readPage(await placards(demo, 'en'));
    expect(read).toEqual(codes.flatMap((code) => [{ said: code, format: 'QRCode', text: code }, { said: code, format: 'Code128', text: code }]));
  });
});
