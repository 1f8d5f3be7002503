import { loadPlant } from './actions/load-plant.ts';
import { systemClock } from './clock.ts';
import { StationhandError } from './contract/errors.ts';
import { instant } from './contract/shapes.ts';
import { environmentOrEnd } from './environment.ts';
import { launchPostgres } from './postgres/launch.ts';
import { jsonOf, textOf } from './read-file.ts';
import { openDatabase } from './store/database.ts';
import { migrate } from './store/migrate.ts';

/** Adds a version of a plant's set-up: load-plant.ts FILE [VALID_FROM], the instant in ISO 8601, now when left out. */
const [file, since] = process.argv.slice(2).filter((argument) => argument !== '--');
const validFrom = since === undefined ? systemClock() : instant.safeParse(since).data;
if (file === undefined || validFrom === undefined) {
  console.error('Usage: npm run load-plant -- FILE [VALID_FROM, such as 2026-11-30T06:00:00Z]');
  process.exit(2);
}
let undo = async (): Promise<void> => {};
try {
  const document = jsonOf(textOf(file), file);
  const { databaseUrl, dataDir } = environmentOrEnd();
  const postgres = databaseUrl === null ? await launchPostgres(dataDir, console.error) : null;
  undo = async () => postgres?.stop();
  const url = databaseUrl ?? postgres!.url;
  await migrate(url);
  const { db, close } = openDatabase(url, console.error, 2);
  undo = () => close().finally(() => postgres?.stop());
  const { version } = await loadPlant(db, document, validFrom, { who: 'load-plant', device: 'command' }, systemClock());
  console.log(`Version ${version} of the set-up holds from ${new Date(validFrom).toISOString()}.`);
} catch (error) {
  console.error(error instanceof StationhandError ? `${error.message} ${error.whatToDo}` : error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
} finally {
  await undo();
}
