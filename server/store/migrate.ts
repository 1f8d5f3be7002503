import { readdir, readFile } from 'node:fs/promises';
import { type Migration, Migrator, sql } from 'kysely';
import { openDatabase } from './database.ts';

/** The oldest major version of PostgreSQL, that of the embedded server. */
const OLDEST = 15;
const FOLDER = new URL('../../migrations/', import.meta.url);

/**
 * Brings the database at `url` to the newest schema: runs the files of `migrations/` that it does not have, in the order of their numbers.
 * Two programs that start at once do not get in each other's way. Throws with a sentence for people when the database cannot be reached,
 * lets the program not in, or is too old or too new for it.
 */
export async function migrate(url: string): Promise<void> {
  const { db, close } = openDatabase(url, () => {}, 2);
  try {
    const { rows } = await sql<{ version: number }>`select current_setting('server_version_num')::int as version`.execute(db).catch((error: unknown) => refuseUnreached(error, url));
    refuseOldServer(rows[0]!.version);
    const migrations = await readMigrations();
    const migrator = new Migrator({ db, provider: { getMigrations: () => Promise.resolve(migrations) } });
    const unknown = (await appliedNames(db)).filter((name) => !(name in migrations));
    if (unknown.length > 0) {
      throw new Error(`The database is newer than this program: it has ${unknown.join(', ')}. Start the newer program, or restore the backup made before it.`);
    }
    const { error } = await migrator.migrateToLatest();
    if (error) throw error instanceof Error ? error : new Error(String(error));
  } finally {
    await close();
  }
}

/** `version` as PostgreSQL counts it: 150004 is 15.4. Throws with a sentence for people when it is older than the program can work on. */
export function refuseOldServer(version: number): void {
  if (version >= OLDEST * 10_000) return;
  throw new Error(`The database is PostgreSQL ${Math.floor(version / 10_000)}; this program works on ${OLDEST} and later. Give DATABASE_URL of a newer server, or none for the program's own.`);
}

/** Never says the password that the address holds. */
function refuseUnreached(error: unknown, url: string): never {
  const { hostname, port, pathname } = new URL(url);
  const [first] = error instanceof AggregateError ? (error.errors as unknown[]) : [error];
  const why = first instanceof Error ? first.message : String(first);
  throw new Error(`The database ${pathname.slice(1)} at ${hostname}:${port || 5432} cannot be used: ${why}. Check DATABASE_URL, and that this server runs and lets its user in.`, { cause: error });
}

async function appliedNames(db: ReturnType<typeof openDatabase>['db']): Promise<string[]> {
  const table = await sql<{ found: boolean }>`select to_regclass('kysely_migration') is not null as found`.execute(db);
  if (!table.rows[0]?.found) return [];
  const applied = await sql<{ name: string }>`select name from kysely_migration`.execute(db);
  return applied.rows.map(({ name }) => name);
}

async function readMigrations(): Promise<Record<string, Migration>> {
  const names = (await readdir(FOLDER)).filter((name) => /^\d{4}_.*\.sql$/.test(name)).sort();
  const entries = names.map(async (name): Promise<[string, Migration]> => {
    const text = await readFile(new URL(name, FOLDER), 'utf8');
    return [name.replace(/\.sql$/, ''), { up: async (db) => void (await sql.raw(text).execute(db)) }];
  });
  return Object.fromEntries(await Promise.all(entries));
}
