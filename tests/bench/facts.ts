import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launchPostgres } from '../../server/postgres/launch.ts';
import { freePort } from '../support/server-process.ts';
import { acknowledgedScans, pairKiosks } from './kiosk-load.ts';
import { bareScans } from './pgbench.ts';
import type { BenchResult } from './run.ts';

const ROUNDS = 5;
const SECONDS = 4;
const KIOSKS = 64;

/**
 * Durable acknowledged scans a second over HTTP from 64 kiosks, everything on, beside pgbench doing the bare
 * six-statement scan on the same PostgreSQL. The two take turns after a round to warm up; what is told is the median of the rounds, for other work of the machine
 * falls on single rounds.
 */
export async function factsBench(): Promise<BenchResult> {
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-bench-'));
  const postgres = await launchPostgres(folder, () => {});
  const port = await freePort();
  const base = `http://127.0.0.1:${port}`;
  const server = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts', '--empty'], {
    env: { ...process.env, DATABASE_URL: postgres.url, PORT: String(port), HOST: '127.0.0.1' },
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  try {
    const scans: number[] = [];
    const kiosks = await pairKiosks(base, postgres.url, KIOSKS);
    await acknowledgedScans(base, postgres.url, kiosks, SECONDS, 0);
    const bare: number[] = [];
    for (let round = 1; round <= ROUNDS; round++) {
      bare.push(await bareScans(postgres.url, SECONDS));
      scans.push(await acknowledgedScans(base, postgres.url, kiosks, SECONDS, round));
    }
    const ratio = median(scans.map((ours, round) => ours / bare[round]!));
    return {
      name: 'facts',
      figures: { scansPerSecond: Math.round(median(scans)), pgbenchPerSecond: Math.round(median(bare)), kiosks: KIOSKS, seconds: SECONDS * ROUNDS },
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

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}
