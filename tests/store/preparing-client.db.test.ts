import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type OpenedDatabase, openDatabase } from '../../server/store/database.ts';
import { testHouse, type TestHouse } from '../actions/house.ts';

describe('a connection', () => {
  let house: TestHouse;
  let opened: OpenedDatabase;
  beforeAll(async () => {
    house = await testHouse();
    opened = openDatabase(house.url, () => {}, 1);
  });
  afterAll(async () => {
    await opened.close();
    await house.close();
  });

  it('prepares a marked statement once, and no other', async () => {
    const marked = async (n: number): Promise<number> => (await sql<{ twice: number }>`/* prepared: twice */ select 2 * ${n}::int as twice`.execute(opened.db)).rows[0]!.twice;
    expect([await marked(1), await marked(2), await marked(21)]).toEqual([2, 4, 42]);
    await sql`select 3 * ${1}::int as thrice`.execute(opened.db);
    const { rows } = await sql<{ name: string; times: number }>`select name, (generic_plans + custom_plans)::int as times from pg_prepared_statements`.execute(opened.db);
    expect(rows).toEqual([{ name: 'twice', times: 3 }]);
  });

  it('says what is wrong with a marked statement, and goes on', async () => {
    const broken = (): Promise<unknown> => sql`/* prepared: broken */ select 1 / ${0}::int`.execute(opened.db);
    await expect(broken()).rejects.toMatchObject({ code: '22012' });
    await expect(broken()).rejects.toMatchObject({ code: '22012' });
    expect((await sql<{ one: number }>`select 1 as one`.execute(opened.db)).rows).toEqual([{ one: 1 }]);
  });
});
