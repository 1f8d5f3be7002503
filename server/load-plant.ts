import { loadPlant } from './actions/load-plant.ts';
import { systemClock } from './clock.ts';
import { commandOnDatabase, endBadly } from './command-on-database.ts';
import { instant } from './contract/shapes.ts';
import { jsonOf, textOf } from './read-file.ts';

/** Adds a version of a plant's set-up: load-plant.ts FILE [VALID_FROM], the instant in ISO 8601, now when left out. */
const [file, since] = process.argv.slice(2).filter((argument) => argument !== '--');
const validFrom = since === undefined ? systemClock() : instant.safeParse(since).data;
if (file === undefined || validFrom === undefined) {
  console.error('Usage: npm run load-plant -- FILE [VALID_FROM, such as 2026-11-30T06:00:00Z]');
  process.exit(2);
}
try {
  const document = jsonOf(textOf(file), file);
  await commandOnDatabase(async (db) => {
    const { version } = await loadPlant(db, document, validFrom, { who: 'load-plant', device: 'command' }, systemClock());
    console.log(`Version ${version} of the set-up holds from ${new Date(validFrom).toISOString()}.`);
  });
} catch (error) {
  endBadly(error);
}
