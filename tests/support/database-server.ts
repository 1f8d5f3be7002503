import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import type { TestProject } from 'vitest/node';
import { launchPostgres } from '../../server/postgres/launch.ts';
import { migrate } from '../../server/store/migrate.ts';

declare module 'vitest' {
  interface ProvidedContext {
    databaseServer: string;
    databaseTemplate: string;
  }
}

interface Server {
  url: string;
  stop(): Promise<void>;
}

/** DATABASE_URL, else a container where a Docker engine answers, else the embedded server; says which. */
async function findServer(): Promise<Server> {
  const given = process.env['DATABASE_URL'];
  if (given) {
    console.log('Database of the tests: DATABASE_URL');
    return { url: given, stop: async () => {} };
  }
  const { PostgreSqlContainer } = await import('@testcontainers/postgresql');
  const container = await new PostgreSqlContainer('postgres:15').start().catch(() => null);
  if (container) {
    console.log('Database of the tests: a container');
    return { url: container.getConnectionUri(), stop: async () => void (await container.stop()) };
  }
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-tests-'));
  const launched = await launchPostgres(folder, () => {});
  console.log('Database of the tests: the embedded server');
  return {
    url: launched.url,
    async stop() {
      await launched.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** Brings a server and a migrated template that each test file clones. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = await findServer();
  const template = `stationhand_template_${process.pid}`;
  const admin = async (statement: string): Promise<void> => {
    const client = new pg.Client({ connectionString: server.url });
    await client.connect();
    await client.query(statement).finally(() => client.end());
  };
  await admin(`create database ${template}`);
  const url = new URL(server.url);
  url.pathname = `/${template}`;
  await migrate(url.href);
  project.provide('databaseServer', server.url);
  project.provide('databaseTemplate', template);
  return async () => {
    await admin(`drop database if exists ${template} with (force)`);
    await server.stop();
  };
}
