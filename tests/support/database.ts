import pg from 'pg';
import { inject } from 'vitest';

export interface FreshDatabase {
  url: string;
  drop(): Promise<void>;
}

let made = 0;

/** A migrated database of the caller's own. `drop` fails when a connection to it was left open: whoever opened it closes it. */
export async function freshDatabase(): Promise<FreshDatabase> {
  const name = `stationhand_test_${process.pid}_${made++}_${Math.floor(performance.now())}`;
  await admin(`create database ${name} template ${inject('databaseTemplate')}`);
  const url = new URL(inject('databaseServer'));
  url.pathname = `/${name}`;
  return { url: url.href, drop: () => dropWhenLeft(name) };
}

async function admin(statement: string): Promise<pg.QueryResult> {
  const client = new pg.Client({ connectionString: inject('databaseServer') });
  await client.connect();
  return client.query(statement).finally(() => client.end());
}

async function dropWhenLeft(name: string): Promise<void> {
  const open = async (): Promise<number> => (await admin(`select 1 from pg_stat_activity where datname = '${name}'`)).rowCount ?? 0;
  // A connection that was closed is gone from the server a moment later.
  let left = await open();
  for (let tries = 0; left > 0 && tries < 40; tries++) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    left = await open();
  }
  await admin(`drop database ${name} with (force)`);
  if (left > 0) throw new Error(`${left} connection(s) to the test's database were left open: close what the test opened.`);
}
