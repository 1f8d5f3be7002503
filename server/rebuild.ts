import { rebuildDerived } from './actions/rebuild-derived.ts';
import { commandOnDatabase } from './command-on-database.ts';
import { listPlants } from './store/setup/list-plants.ts';

/** Rebuilds what is derived of every plant, while the program runs or not, and says whether it came out the same. */
await commandOnDatabase(async (db) => {
  for (const { code } of await listPlants(db)) {
    const { facts, rows, identical } = await rebuildDerived(db, code);
    console.log(`${code}: ${rows} rows from ${facts} facts, ${identical ? 'identical' : 'not what they were'}`);
  }
});
