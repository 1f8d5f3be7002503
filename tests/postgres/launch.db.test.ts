import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, describe, expect, it } from 'vitest';
import { launchPostgres } from '../../server/postgres/launch.ts';
import { lockHolder } from '../../server/postgres/processes.ts';

const folder = mkdtempSync(join(tmpdir(), 'stationhand-launch-'));
const data = join(folder, 'postgres', 'data');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function query(url: string, statement: string): Promise<number[]> {
  const client = new pg.Client({ connectionString: url });
  client.on('error', () => {});
  await client.connect();
  const { rows } = await client.query<{ n: number }>(statement).finally(() => client.end());
  return rows.map(({ n }) => n);
}

/** A program that launches the database, keeps one more row, and then waits to be killed. */
async function programThatKeeps(n: number): Promise<ChildProcess> {
  const script = `
    import { launchPostgres } from './server/postgres/launch.ts';
    import pg from 'pg';
    const { url } = await launchPostgres(${JSON.stringify(folder)}, () => {});
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    await client.query('insert into kept values (${n})');
    console.log('kept');
    setInterval(() => {}, 1000);`;
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script], { stdio: ['ignore', 'pipe', 'inherit'] });
  await once(child.stdout!, 'data');
  return child;
}

describe('the embedded database', () => {
  it('comes up in a private folder, on this machine only, and comes back with its rows', async () => {
    const first = await launchPostgres(folder, () => {});
    expect(new URL(first.url).hostname).toBe('127.0.0.1');
    expect(statSync(join(folder, 'postgres')).mode & 0o077).toBe(0);
    expect(statSync(join(folder, 'postgres', 'password')).mode & 0o077).toBe(0);
    await query(first.url, 'create table kept (n int)');
    await query(first.url, 'insert into kept values (1)');
    await first.stop();
    expect(lockHolder(data)).toBeNull();
    const second = await launchPostgres(folder, () => {});
    expect(await query(second.url, 'select n from kept')).toEqual([1]);
    await second.stop();
  });

  it('is shared by a command beside the program, which does not stop it', async () => {
    const program = await programThatKeeps(2);
    const guest = await launchPostgres(folder, () => {});
    expect(await query(guest.url, 'select n from kept order by n')).toEqual([1, 2]);
    await guest.stop();
    expect(await query(guest.url, 'select count(*)::int as n from kept')).toEqual([2]);
    program.kill('SIGKILL');
    await once(program, 'exit');
  });

  it('starts again after the program was killed and left it running', async () => {
    const program = await programThatKeeps(3);
    program.kill('SIGKILL');
    await once(program, 'exit');
    const next = await launchPostgres(folder, () => {});
    expect(await query(next.url, 'select n from kept order by n')).toEqual([1, 2, 3]);
    await next.stop();
  });

  it('starts again on the same port after it was killed itself, and loses no row', async () => {
    const launched = await launchPostgres(folder, () => {});
    await query(launched.url, 'insert into kept values (4)');
    process.kill(lockHolder(data)!.pid, 'SIGKILL');
    let rows: number[] | null = null;
    for (let tries = 0; rows === null && tries < 200; tries++) {
      rows = await query(launched.url, 'select n from kept order by n').catch(() => null);
      if (rows === null) await new Promise((resolve) => setTimeout(resolve, 100));
    }
    expect(rows).toEqual([1, 2, 3, 4]);
    await launched.stop();
  });
});
