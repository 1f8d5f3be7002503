import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launchPostgres } from '../../server/postgres/launch.ts';
import { acknowledgedScans } from './kiosk-load.ts';
import { bareScans } from './pgbench.ts';
import type { BenchResult } from './run.ts';

const ROUNDS = 2;
const SECONDS = 6;
const KIOSKS = 64;

/**
 * Durable acknowledged scans a second over HTTP from 64 kiosks, everything on, beside pgbench doing the bare
 * six-statement scan on the same PostgreSQL. The two take turns; each figure is the mean of its rounds.
 */
export async function factsBench(): Promise<BenchResult> {
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-bench-'));
  const postgres = await launchPostgres(folder, () => {});
  const server = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts', '--empty'], {
    env: { ...process.env, DATABASE_URL: postgres.url, PORT: '8197', HOST: '127.0.0.1' },
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  try {
    const scans: number[] = [];
    const bare: number[] = [];
    for (let round = 0; round < ROUNDS; round++) {
      bare.push(await bareScans(postgres.url, SECONDS));
      scans.push(await acknowledgedScans('http://127.0.0.1:8197', KIOSKS, SECONDS, round));
    }
    const ours = mean(scans);
    const theirs = mean(bare);
    const ratio = ours / theirs;
    return {
      name: 'facts',
      figures: { scansPerSecond: Math.round(ours), pgbenchPerSecond: Math.round(theirs), kiosks: KIOSKS, seconds: SECONDS * ROUNDS },
      comparedWith: 'pgbench -M simple -c 8, six statements a scan, same server, same run',
      ratio: Math.round(ratio * 100) / 100,
      holds: ratio >= 1,
    };
  } finally {
    server.kill('SIGTERM');
    if (server.exitCode === null) await once(server, 'exit');
    await postgres.stop();
    await rm(folder, { recursive: true, force: true });
  }
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
