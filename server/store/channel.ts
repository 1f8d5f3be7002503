import pg from 'pg';

/** The channel on which a commit is told to every server on the database. */
export const CHANNEL = 'stationhand';

const RETRY_MS = 1_000;

/**
 * Calls `heard` with the plant of every commit, and with null after each (re)connection, when commits may have been missed.
 * Connects again by itself. The function returned stops it.
 */
export function listenToCommits(url: string, heard: (plant: string | null) => void): () => Promise<void> {
  let client: pg.Client | null = null;
  let stopped = false;
  let timer: NodeJS.Timeout | null = null;
  const again = (): void => {
    if (stopped || timer) return;
    timer = setTimeout(() => {
      timer = null;
      void connect();
    }, RETRY_MS);
  };
  const connect = async (): Promise<void> => {
    const own = new pg.Client({ connectionString: url, keepAlive: true });
    client = own;
    own.on('error', () => {});
    own.on('end', again);
    own.on('notification', ({ payload }) => {
      const told: unknown = JSON.parse(payload ?? 'null');
      if (typeof told === 'object' && told !== null && 'plant' in told && typeof told.plant === 'string') heard(told.plant);
    });
    try {
      await own.connect();
      await own.query(`listen ${CHANNEL}`);
      heard(null);
    } catch {
      await own.end().catch(() => {});
      again();
    }
  };
  void connect();
  return async () => {
    stopped = true;
    if (timer) clearTimeout(timer);
    await client?.end().catch(() => {});
  };
}
