import { rebuildDerived } from './actions/rebuild-derived.ts';
import { environmentOrEnd } from './environment.ts';
import { launchPostgres } from './postgres/launch.ts';
import { openDatabase } from './store/database.ts';
import { migrate } from './store/migrate.ts';
import { listPlants } from './store/setup/list-plants.ts';

/** Rebuilds what is derived of every plant, while the program runs or not, and says whether it came out the same. */
let undo = async (): Promise<void> => {};
try {
  const { databaseUrl, dataDir } = environmentOrEnd();
  const postgres = databaseUrl === null ? await launchPostgres(dataDir, console.error) : null;
  undo = async () => postgres?.stop();
  const url = databaseUrl ?? postgres!.url;
  await migrate(url);
  const { db, close } = openDatabase(url, console.error, 2);
  undo = () => close().finally(() => postgres?.stop());
  for (const { code } of await listPlants(db)) {
    const { facts, rows, identical } = await rebuildDerived(db, code);
    console.log(`${code}: ${rows} rows from ${facts} facts, ${identical ? 'identical' : 'not what they were'}`);
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
} finally {
  await undo();
}
