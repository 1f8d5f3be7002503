import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import pg from 'pg';

const run = promisify(execFile);
const PLACES = ['/usr/lib/postgresql/15/bin/pgbench', '/usr/bin/pgbench'];

const TABLES = `
  drop table if exists bench_fact, bench_unit, bench_visit;
  create table bench_fact (id uuid primary key, unit int not null, station int not null, happened timestamptz not null default now());
  create table bench_unit (unit int primary key, station int not null);
  create table bench_visit (id bigserial primary key, unit int not null, station int not null, arrived timestamptz not null default now(), left_at timestamptz);
  create unique index on bench_visit (unit) where left_at is null;
  insert into bench_unit select n, 1 from generate_series(1, 2000) n;
  insert into bench_visit (unit, station) select n, 1 from generate_series(1, 2000) n;`;

const SCAN = `\\set unit random(1, 2000)
\\set station random(1, 30)
begin;
insert into bench_fact (id, unit, station) values (gen_random_uuid(), :unit, :station);
update bench_unit set station = :station where unit = :unit;
update bench_visit set left_at = now() where unit = :unit and left_at is null;
insert into bench_visit (unit, station) values (:unit, :station);
commit;
`;

/** Scans a second of pgbench: eight clients, the bare six statements of a scan. */
export async function bareScans(url: string, seconds: number): Promise<number> {
  const pgbench = PLACES.find((place) => existsSync(place));
  if (!pgbench) throw new Error('This bench compares with pgbench, which is not here. On Debian: apt-get install postgresql-client-15');
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query(TABLES);
  await client.end();
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-pgbench-'));
  const script = join(folder, 'scan.sql');
  await writeFile(script, SCAN);
  const { hostname, port, username, password, pathname } = new URL(url);
  try {
    const options = ['-h', hostname, '-p', port || '5432', '-U', username, '-n', '-M', 'simple', '-c', '8', '-j', '1', '-T', String(seconds), '-f', script];
    const { stdout } = await run(pgbench, [...options, pathname.slice(1)], { env: { ...process.env, PGPASSWORD: decodeURIComponent(password) } });
    const tps = /tps = ([\d.]+)/.exec(stdout)?.[1];
    if (tps === undefined) throw new Error(`pgbench printed no tps: ${stdout}`);
    return Number(tps);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
