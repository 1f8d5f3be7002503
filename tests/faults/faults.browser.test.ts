import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { faultRun } from './fault-run.ts';

/** A short run of these acts; `npm run bench -- faults` runs longer ones. */
const SEED = 20_261;
const ACTS = 36;

let database: FreshDatabase;
beforeAll(async () => {
  database = await freshDatabase();
});
afterAll(async () => {
  await database?.drop();
});

describe('kiosks on a network that fails, with tabs, browsers and the server ended in the middle of it', () => {
  it('have every scan that they said they heard in the log, once, and what is derived is what a rebuild gives', async () => {
    const run = await faultRun({ seed: SEED, acts: ACTS, databaseUrl: database.url });
    console.log(JSON.stringify(run));
    expect(run).toMatchObject({ lost: [], gaps: [], refused: [], unsent: [], identical: true, inLog: run.heard });
    expect(run.heard).toBeGreaterThan(ACTS / 2);
  }, 240_000);
});
