import fc from 'fast-check';
import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rowsFrom } from '../../server/store/rows-from.ts';
import { testHouse, type TestHouse } from '../actions/house.ts';

/** Text as PostgreSQL keeps it: without the character zero and without half a surrogate pair. */
const text = fc.string({ unit: 'grapheme', maxLength: 12 }).map((s) => s.replaceAll('\0', ''));
const awkward = fc.constantFrom('', 'NULL', 'null', '"', '\\', '\\"', '{}', '{a,b}', ' a ', ',', "'", '\n\t\u0001', 'ñ “x”', '\u{1F69A}');
const instant = fc.date({ min: new Date('2000-01-01T00:00:00Z'), max: new Date('2099-12-31T00:00:00Z'), noInvalidDate: true }).map((date) => date.getTime());
/** A zero without a sign, as JSON writes it. */
const share = fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => x + 0);
const orNull = <T>(of: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(of, { nil: null });

describe('rows given to the database as columns', () => {
  let house: TestHouse;
  beforeAll(async () => {
    house = await testHouse();
  });
  afterAll(() => house.close());

  it('come out of it as they went in, in their order', async () => {
    const row = fc.record({
      name: orNull(fc.oneof(text, awkward)), number: orNull(fc.maxSafeInteger()), share: orNull(share), told: orNull(fc.boolean()),
      happened: orNull(instant), id: orNull(fc.uuid()), kept: fc.record({ note: fc.oneof(text, awkward), list: fc.array(fc.integer(), { maxLength: 3 }) }), looked: fc.dictionary(fc.string({ maxLength: 3 }), fc.boolean(), { maxKeys: 3, noNullPrototype: true }),
    });
    await fc.assert(fc.asyncProperty(fc.array(row, { maxLength: 8 }), async (rows) => {
      const given = rows.map((one) => ({ ...one, happened: one.happened === null ? null : new Date(one.happened).toISOString() }));
      const { rows: found } = await sql`select r.* from ${rowsFrom(given, {
        name: 'text', number: 'bigint', share: 'float8', told: 'boolean', happened: 'timestamptz', id: 'uuid', kept: 'json', looked: 'jsonb',
      })}`.execute(house.db);
      expect(found).toEqual(rows);
    }), { numRuns: 200 });
  });
});
