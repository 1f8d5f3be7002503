import { sql } from 'kysely';
import { v7 } from 'uuid';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type OpenedDatabase, openDatabase } from '../../server/store/database.ts';
import { ensurePartitions } from '../../server/store/facts/ensure-partitions.ts';
import { migrate, refuseOldServer } from '../../server/store/migrate.ts';
import { freshDatabase } from '../support/database.ts';

describe('the schema', () => {
  let fresh: Awaited<ReturnType<typeof freshDatabase>>;
  let opened: OpenedDatabase;
  beforeAll(async () => {
    fresh = await freshDatabase();
    await migrate(fresh.url);
    opened = openDatabase(fresh.url, () => {});
  });
  afterAll(async () => {
    await opened.close();
    await fresh.drop();
  });

  it('is brought up once, however often and by however many programs at once', async () => {
    await Promise.all([migrate(fresh.url), migrate(fresh.url)]);
    await migrate(fresh.url);
    const { rows } = await sql<{ name: string }>`select name from kysely_migration`.execute(opened.db);
    expect(rows.map(({ name }) => name)).toEqual(['0001_facts-and-what-is-derived', '0002_minutes-of-visits', '0003_kept-forecasts', '0020_photos', '0021_people-and-devices', '0022_sign-in-by-provider', '0023_pair-again', '0024_scans-written-faster']);
  });

  // RFC 9562 §5.7: the first 48 bits of a UUID of version 7 are Unix milliseconds. Its example, appendix A.6, is of February 2022.
  it('reads the month out of a UUID of version 7', async () => {
    const { rows } = await sql<{ month: string }>`select fact_month('017f22e2-79b0-7cc3-98c4-dc0c0c07398f')::text as month`.execute(opened.db);
    expect(rows).toEqual([{ month: '2022-02-01' }]);
  });

  it('keeps the month of a fact to that of its id', async () => {
    await opened.db.insertInto('plants').values({ code: 'P', name: 'P', next_seq: 1, setup_version: 0 }).execute();
    const insert = (id: string, month: string): Promise<unknown> => sql`
      insert into facts (plant, id, month, seq, kind, happened, recorded, told, who, device, counter, body)
      values ('P', ${id}::uuid, ${month}::date, 1, 'roll', now(), now(), false, 'w', 'd', 1, '{}')`.execute(opened.db);
    const id = v7({ msecs: Date.parse('2026-06-15T00:00:00Z') });
    await expect(insert(id, '2026-07-01')).rejects.toThrow(/facts_.*check/);
    await insert(id, '2026-06-01');
    await expect(insert(id, '2026-06-01')).rejects.toThrow(/duplicate key/);
  });

  it('makes the partitions of the months about now, and leaves a month that has facts elsewhere', async () => {
    const now = Date.parse('2026-07-10T00:00:00Z');
    await Promise.all([ensurePartitions(opened.db, now), ensurePartitions(opened.db, now)]);
    const { rows } = await sql<{ name: string }>`select inhrelid::regclass::text as name from pg_inherits where inhparent = 'facts'::regclass order by 1`.execute(opened.db);
    expect(rows.map(({ name }) => name)).toEqual(['facts_2026_05', 'facts_2026_07', 'facts_2026_08', 'facts_2026_09', 'facts_other']);
  });

  it('wants a server of version 15, and says so', () => {
    expect(() => refuseOldServer(140_011)).toThrow('The database is PostgreSQL 14; this program works on 15 and later.');
    expect(() => refuseOldServer(150_000)).not.toThrow();
    expect(() => refuseOldServer(180_001)).not.toThrow();
  });

  it('stops an older program, and says why', async () => {
    await sql`insert into kysely_migration (name, timestamp) values ('9999_of-tomorrow', '2099')`.execute(opened.db);
    await expect(migrate(fresh.url)).rejects.toThrow(/newer than this program: it has 9999_of-tomorrow/);
  });
});
