import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

/** Of 100,000 characters and more: read in another thread. */
const ROWS = 6_000;
const note = 'x'.repeat(40);

describe('a large file', () => {
  let house: TestHouse;
  beforeAll(async () => {
    house = await testHouse();
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
    await house.app.actions.recordFacts('P', wire([register('CF1')]));
  });
  afterAll(() => house.close());

  it('of units is read as a small one is, and of its problems the first thousand are named', async () => {
    const rows = Array.from({ length: ROWS }, (_, i) => `N${i},${i % 3 === 0 ? 'M' : 'NONE'},${i},Dealer ${note}`);
    const text = ['serial,model,sequence,dealer', ...rows].join('\n');
    const reply = await house.app.actions.importUnits('P', text, 'check', BY);
    expect(reply).toMatchObject({ good: ROWS / 3, imported: 0 });
    expect(reply.problems).toHaveLength(1_001);
    expect(reply.problems.slice(0, 2)).toMatchObject([{ line: 3, column: 'model' }, { line: 4, column: 'model' }]);
    expect(reply.problems.at(-1)).toEqual({ line: 1_503, column: '', message: 'and 3000 more problems from here on' });
    const few = [rows[0]!, rows[3]!, ...Array.from({ length: 3_000 }, () => '')].join('\n');
    expect(few.length).toBeLessThan(100_000);
    expect(await house.app.actions.importUnits('P', `serial,model,sequence,dealer\n${few}`, 'good', BY)).toMatchObject({ good: 2, imported: 2, problems: [] });
    const all = rows.filter((_, i) => i % 3 === 0);
    expect(await house.app.actions.importUnits('P', ['serial,model,sequence,dealer', ...all].join('\n'), 'all', BY)).toMatchObject({ good: ROWS / 3, imported: ROWS / 3, problems: [] });
    expect((await house.app.actions.unitStory('P', 'N3')).state).toMatchObject({ sequence: 3, dealer: `Dealer ${note}` });
  }, 60_000);

  it('of claims is read as a small one is', async () => {
    const rows = Array.from({ length: 2_000 }, (_, i) => `C${i},NOBODY${i},2026-06-02,${note}${note}`);
    const reply = await house.app.actions.quality.importClaims('P', ['claim,vin,date,what', ...rows].join('\n'), 'check', BY);
    expect(reply).toMatchObject({ good: 0, imported: 0 });
    expect(reply.problems[0]).toMatchObject({ line: 2, column: 'vin' });
    expect(reply.problems.at(-1)?.message).toBe('and 1000 more problems from here on');
  }, 60_000);
});
