import { sql } from 'kysely';
import { v7 } from 'uuid';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type OpenedDatabase, openDatabase } from '../../server/store/database.ts';
import { ensurePartitions } from '../../server/store/facts/ensure-partitions.ts';
import { factsAfter } from '../../server/store/facts/facts-after.ts';
import { factsById } from '../../server/store/facts/facts-by-id.ts';
import { BY, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';

/** 48 bits of milliseconds reach from 1970 to August 10889 (RFC 9562 §5.7). */
const LAST = 2 ** 48 - 1;

/*
 * What happened on the floor is recorded, by a device with a wrong clock too. So an id may name any month: months without a partition of
 * their own share the default one, and the fact is found there, once.
 */
describe('a fact whose id names an odd month', () => {
  let house: TestHouse;
  let opened: OpenedDatabase;
  beforeAll(async () => {
    house = await testHouse();
    opened = openDatabase(house.url, () => {});
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
  });
  afterAll(async () => {
    await opened.close();
    await house.close();
  });

  const headsWithId = (msecs: number) => stated(2, 'heads', { station: 'S1', heads: 2 }, { id: v7({ msecs }) });
  const kept = async (id: string): Promise<string[]> => {
    const { rows } = await sql<{ partition: string }>`select tableoid::regclass::text as partition from facts where id = ${id}::uuid`.execute(opened.db);
    return rows.map(({ partition }) => partition);
  };

  it.each([
    ['the first there is', 0], ['of 1999', Date.parse('1999-12-31T23:59:59Z')], ['of 2031', Date.parse('2031-05-15T00:00:00Z')], ['the last of 9999', Date.parse('9999-12-31T23:59:59Z')],
    ['the first of 10000', Date.parse('+010000-01-01T00:00:00Z')], ['the last there is', LAST],
  ])('%s is recorded once, in the default partition, and found', async (_, msecs) => {
    const fact = headsWithId(msecs);
    const outcomes = [];
    for (let again = 0; again < 2; again++) outcomes.push((await house.app.actions.recordFacts('P', wire([fact, fact]))).replies.map(({ outcome }) => outcome));
    expect(outcomes).toEqual([['recorded', 'repeated'], ['repeated', 'repeated']]);
    expect(await kept(fact.id)).toEqual(['facts_other']);
    expect([...(await factsById(opened.db, 'P', [fact.id])).values()]).toMatchObject([{ id: fact.id, happened: fact.happened }]);
    expect((await factsAfter(opened.db, 'P', 0, 10_000, 10_000)).filter(({ id }) => id === fact.id)).toHaveLength(1);
  });

  it('stays where it is, and is still known, when its month comes', async () => {
    const when = Date.parse('2033-03-15T00:00:00Z');
    const early = headsWithId(when);
    await house.app.actions.recordFacts('P', wire([early]));
    await ensurePartitions(opened.db, when);
    const { rows } = await sql<{ march: string | null; april: string | null }>`select to_regclass('facts_2033_03')::text as march, to_regclass('facts_2033_04')::text as april`.execute(opened.db);
    expect(rows).toEqual([{ march: null, april: 'facts_2033_04' }]);
    const [again, next] = [await house.app.actions.recordFacts('P', wire([early])), headsWithId(Date.parse('2033-04-02T00:00:00Z'))];
    expect(again.replies.map(({ outcome }) => outcome)).toEqual(['repeated']);
    await house.app.actions.recordFacts('P', wire([next]));
    expect([await kept(early.id), await kept(next.id)]).toEqual([['facts_other'], ['facts_2033_04']]);
  });
});
