import { type App, type AppParts, buildApp } from './app.ts';
import { deriveWhatIsOld } from './actions/rebuild-derived.ts';
import { systemClock } from './clock.ts';
import type { Instant } from './core/units.ts';
import { listenToCommits } from './store/channel.ts';
import { openDatabase } from './store/database.ts';
import { ensurePartitions } from './store/facts/ensure-partitions.ts';
import { migrate } from './store/migrate.ts';
import type { Certificate } from './tls/certificates.ts';

const PARTITIONS_EVERY_MS = 6 * 3_600_000;

/** The program on the database at `url`, migrated, hearing of other servers' commits; its door is not open yet. `clock` is the machine's. */
export async function openHouse(url: string, log: (message: string) => void, { clock = systemClock, ...more }: Partial<Omit<AppParts, 'db' | 'log'>> = {}): Promise<App> {
  await migrate(url);
  const { db, close } = openDatabase(url, log);
  await ensurePartitions(db, clock());
  await deriveWhatIsOld(db, log);
  const app = await buildApp({ db, clock, log, ...more });
  const stopListening = listenToCommits(url, (plant) => app.actions.heard(plant));
  const partitions = setInterval(() => void ensurePartitions(db, clock()).catch((error: unknown) => log(`partitions could not be made: ${String(error)}`)), PARTITIONS_EVERY_MS);
  return {
    ...app,
    async close() {
      clearInterval(partitions);
      await stopListening();
      await app.close();
      await close();
    },
  };
}
