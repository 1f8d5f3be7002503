import { StationhandError } from './contract/errors.ts';
import { environmentOrEnd } from './environment.ts';
import { launchPostgres } from './postgres/launch.ts';
import { type Db, openDatabase } from './store/database.ts';
import { migrate } from './store/migrate.ts';

/** Runs a command on the database of the settings, migrated, beside the program or without it. What goes wrong ends it with code 1 and one line for people. */
export async function commandOnDatabase(act: (db: Db) => Promise<void>): Promise<void> {
  const { databaseUrl, dataDir } = environmentOrEnd();
  let undo = async (): Promise<void> => {};
  try {
    const postgres = databaseUrl === null ? await launchPostgres(dataDir, console.error) : null;
    undo = async () => postgres?.stop();
    const url = databaseUrl ?? postgres!.url;
    await migrate(url);
    const { db, close } = openDatabase(url, console.error, 2);
    undo = () => close().finally(() => postgres?.stop());
    await act(db);
  } catch (error) {
    endBadly(error);
  } finally {
    await undo();
  }
}

/** Says in one line what was wrong, and what to do where that is known. */
export function endBadly(error: unknown): void {
  console.error(error instanceof StationhandError ? `${error.message} ${error.whatToDo}` : error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
