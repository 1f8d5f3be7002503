import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { launchPostgres } from '../../server/postgres/launch.ts';
import { migrate } from '../../server/store/migrate.ts';
import { faultRun, type FaultRun } from '../faults/fault-run.ts';
import type { BenchResult } from './run.ts';

const RUNS = Number(process.env['FAULT_RUNS'] ?? 8);
const ACTS = Number(process.env['FAULT_ACTS'] ?? 150);
/** Each is a browser of its own: dozens want some gigabytes. */
const KIOSKS = Number(process.env['FAULT_KIOSKS'] ?? 2);
/** `FAULT_SEED=20263 FAULT_RUNS=1 npm run bench -- faults` repeats one run. */
const FIRST_SEED = Number(process.env['FAULT_SEED'] ?? 20_261);

/** Runs of kiosks on a failing network, one seed after the other: the part of the scans said to be heard that the log holds once, which must be all. */
export async function faultsBench(): Promise<BenchResult> {
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-faults-'));
  const postgres = await launchPostgres(folder, () => {});
  const runs: FaultRun[] = [];
  try {
    for (let i = 0; i < RUNS; i++) {
      const run = await faultRun({ seed: FIRST_SEED + i, acts: ACTS, kiosks: KIOSKS, databaseUrl: await ownDatabase(postgres.url, `faults_${i}`) });
      console.error(JSON.stringify(run));
      runs.push(run);
    }
  } finally {
    await postgres.stop();
    await rm(folder, { recursive: true, force: true });
  }
  const sum = (of: (run: FaultRun) => number): number => runs.reduce((total, run) => total + of(run), 0);
  const ratio = sum(({ inLog }) => inLog) / sum(({ heard }) => heard);
  const bad = (run: FaultRun): boolean => run.lost.length + run.gaps.length + run.refused.length + run.unsent.length > 0 || !run.identical;
  const faults: Record<string, number> = {};
  for (const run of runs) for (const [name, n] of Object.entries(run.faults)) faults[name] = (faults[name] ?? 0) + n;
  return {
    name: 'faults', figures: { runs: RUNS, kiosks: KIOSKS, firstSeed: FIRST_SEED, heard: sum(({ heard }) => heard), badRuns: runs.filter(bad).length, ...faults },
    comparedWith: 'scans of which a screen said that they were heard', ratio, holds: ratio === 1 && !runs.some(bad),
  };
}

async function ownDatabase(server: string, name: string): Promise<string> {
  const client = new pg.Client({ connectionString: server });
  await client.connect();
  await client.query(`create database ${name}`).finally(() => client.end());
  const url = new URL(server);
  url.pathname = `/${name}`;
  await migrate(url.href);
  return url.href;
}
