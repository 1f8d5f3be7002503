import { type IDBPDatabase, openDB } from 'idb';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { Instant } from '../../server/core/units.ts';

/** A plant as this device knew it last. */
export interface KnownPlant {
  snapshot: Snapshot;
  /** The last instant, by the server's clock, at which the server still said so. */
  asAt: Instant;
}

/** Raised when a snapshot takes another form: what an older program kept is then not read. */
const FORM = 7;
const STORE = 'plants';

interface Stored extends KnownPlant {
  form: number;
}

/** Apart from the outbox, so that nothing that goes wrong here touches a fact. */
let database: Promise<IDBPDatabase> | null = null;

function open(): Promise<IDBPDatabase> {
  database ??= openDB('stationhand-known', 1, {
    upgrade: (made) => void made.createObjectStore(STORE),
    terminated: () => void (database = null),
  });
  return database;
}

/** Null when the plant was never seen on this device, or its disk cannot be read. */
export async function loadKnownPlant(plant: string): Promise<KnownPlant | null> {
  try {
    const stored = (await (await open()).get(STORE, plant)) as Stored | undefined;
    return stored?.form === FORM ? { snapshot: stored.snapshot, asAt: stored.asAt } : null;
  } catch {
    database = null;
    return null;
  }
}

/** Keeps the plant in place of what was known before. A disk without room keeps what it has: facts come first. */
export async function keepKnownPlant(plant: string, known: KnownPlant): Promise<void> {
  try {
    await (await open()).put(STORE, { ...known, form: FORM } satisfies Stored, plant);
  } catch {
    database = null;
  }
}

/** Codes and names of the plants known on this device. */
export async function knownPlants(): Promise<{ code: string; name: string }[]> {
  try {
    const all = (await (await open()).getAll(STORE)) as Stored[];
    return all.filter(({ form }) => form === FORM).map(({ snapshot: { plant } }) => ({ code: plant.code, name: plant.name }));
  } catch {
    database = null;
    return [];
  }
}
