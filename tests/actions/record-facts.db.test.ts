import { v7 } from 'uuid';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openHouse } from '../../server/open-house.ts';
import { openDatabase } from '../../server/store/database.ts';
import { register, stated, testHouse, type TestHouse, BY, wholePlant, wire } from './house.ts';

describe('facts come through one door', () => {
  let house: TestHouse;
  beforeAll(async () => {
    house = await testHouse();
    await house.app.actions.loadPlant(wholePlant(), 0, BY);
  });
  afterAll(() => house.close());
  const record = (facts: readonly unknown[], plant = 'P') => house.app.actions.recordFacts(plant, facts);

  it('answers each by itself: recorded, repeated, flagged, refused; what is good is kept', async () => {
    const unit = register('A1');
    const arrive = stated(0, 'arrive', { unit: 'A1', station: 'S1' });
    const skipping = stated(5, 'arrive', { unit: 'A1', station: 'S3' });
    const { replies } = await record([...wire([unit, arrive]), { kind: 'nonsense', id: 'x' }, 7, ...wire([skipping, arrive])]);
    expect(replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'recorded', 'refused', 'refused', 'flagged', 'repeated']);
    expect(replies[4]!.flags).toEqual(['skippedStations']);
    expect(replies[2]!.why?.error.code).toBe('malformedFact');
    const again = await record(wire([unit, skipping]));
    expect(again.replies.map(({ outcome, flags }) => [outcome, flags])).toEqual([['repeated', []], ['repeated', ['skippedStations']]]);
  });

  it('refuses another fact under an id that is taken, and keeps the first', async () => {
    const first = stated(0, 'openHold', { unit: 'A1', reason: 'R', keepsFrom: 'work', fromStation: null, note: '' });
    const { replies } = await record(wire([first, { ...first, reason: 'another' }]));
    expect(replies.map(({ outcome, why }) => [outcome, why?.error.code])).toEqual([['recorded', undefined], ['refused', 'factIdTaken']]);
    const later = await record([{ ...(wire([first])[0] as object), id: first.id.toUpperCase(), note: 'other' }]);
    expect(later.replies[0]).toMatchObject({ id: first.id.toUpperCase(), outcome: 'refused' });
  });

  it('keeps by how much an instant was corrected, and knows a fact that was not by its leaving it out', async () => {
    const corrected = stated(3, 'openStop', { station: 'S1', reason: 'R', note: '' }, { corrected: -7_200_000 });
    const plain = stated(4, 'openStop', { station: 'S2', reason: 'R', note: '' });
    expect((await record(wire([corrected, plain]))).replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'recorded']);
    expect((await record(wire([corrected, plain]))).replies.map(({ outcome }) => outcome)).toEqual(['repeated', 'repeated']);
    const otherwise = await record(wire([{ ...corrected, corrected: -7_200_001 }]));
    expect(otherwise.replies[0]).toMatchObject({ outcome: 'refused', why: { error: { code: 'factIdTaken' } } });
  });

  it('takes that a shortage is made good which a removed part left: it goes by no fact\'s id', async () => {
    const part = stated(60, 'recordPart', { unit: 'A1', part: 'AXLE', number: 'N-1', lot: '' });
    const fitted = stated(62, 'fitShort', { unit: 'A1', short: 'removed AXLE', item: 0 });
    const { replies } = await record(wire([part, stated(61, 'removePart', { unit: 'A1', fitted: part.id, reason: 'Wanted there', takenFor: 'A2' }), fitted, stated(63, 'fitShort', { unit: 'A1', short: 'removed '.padEnd(90, 'x'), item: 0 })]));
    expect(replies.slice(2).map(({ outcome, flags }) => [outcome, flags.includes('unknownTarget')])).toEqual([['recorded', false], ['flagged', true]]);
  });

  it('refuses text that no database keeps, without harm to its neighbours', async () => {
    const bad = [stated(1, 'arrive', { unit: 'A\u0000B', station: 'S1' }), stated(1, 'arrive', { unit: 'A\ud800', station: 'S1' })];
    const good = register('A2');
    const { replies } = await record(wire([bad[0]!, good, bad[1]!]));
    expect(replies.map(({ outcome }) => outcome)).toEqual(['refused', 'recorded', 'refused']);
  });

  it('takes facts of any month between 2000 and 2100, and ids of any', async () => {
    const odd = [v7({ msecs: 1 }), v7({ msecs: 2 ** 48 - 1 })].map((id) => stated(2, 'heads', { station: 'S1', heads: 2 }, { id }));
    const { replies } = await record(wire(odd));
    expect(replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'recorded']);
  });

  it('flags a void of a fact that it does not have, until that fact comes', async () => {
    const later = stated(30, 'openHold', { unit: 'A1', reason: 'R', keepsFrom: 'work', fromStation: null, note: '' });
    const answer = stated(31, 'void', { fact: later.id, reason: 'wrong' });
    expect((await record(wire([answer]))).replies).toMatchObject([{ outcome: 'flagged', flags: ['unknownTarget'] }]);
    expect((await record(wire([later]))).replies).toMatchObject([{ outcome: 'recorded' }]);
    expect((await record(wire([answer]))).replies).toMatchObject([{ outcome: 'repeated', flags: [] }]);
    const [together, both] = [stated(32, 'finish', { unit: 'A1', station: 'S3' }), stated(33, 'void', { fact: 'x', reason: 'wrong' })];
    expect((await record(wire([{ ...both, fact: together.id }, together]))).replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'recorded']);
  });

  it('says so when there is no such plant', async () => {
    await expect(record([], 'NOWHERE')).rejects.toMatchObject({ code: 'unknownPlant' });
  });

  it('numbers facts without gaps in the order they commit, from two servers at once', async () => {
    const other = await openHouse(house.url, () => {});
    const { db, close } = openDatabase(house.url, () => {});
    try {
      const batches = Array.from({ length: 60 }, (_, i) => {
        const facts = wire([register(`W${i}`), stated(i, 'arrive', { unit: `W${i}`, station: 'S1' }), stated(i, 'finish', { unit: `W${i % 7}`, station: 'S1' })]);
        return (i % 2 ? other : house.app).actions.recordFacts('P', facts);
      });
      await Promise.all(batches);
      const rows = await db.selectFrom('facts').where('plant', '=', 'P').select('seq').orderBy('seq').execute();
      const plant = await db.selectFrom('plants').select('next_seq').executeTakeFirstOrThrow();
      // The set-up took number 1.
      expect(rows.map(({ seq }) => seq)).toEqual(rows.map((_, i) => i + 2));
      expect(plant.next_seq).toBe(rows.length + 2);
      const [here, there] = await Promise.all([house.app.actions.snapshot('P'), other.actions.snapshot('P')]);
      expect(here.version).toBe(there.version);
      expect(here.units.map(({ state, flags }) => ({ state, flags }))).toEqual(there.units.map(({ state, flags }) => ({ state, flags })));
    } finally {
      await close();
      await other.close();
    }
  });

  it('does not skip a fact whose transaction commits late', async () => {
    const { db, close } = openDatabase(house.url, () => {});
    try {
      let commit = (): void => {};
      let locked = (): void => {};
      const held = new Promise<void>((resolve) => (commit = resolve));
      const isLocked = new Promise<void>((resolve) => (locked = resolve));
      const lock = db.transaction().execute(async (tx) => {
        await tx.selectFrom('plants').where('code', '=', 'P').select('code').forUpdate().execute();
        locked();
        await held;
      });
      await isLocked;
      const late = house.app.actions.recordFacts('P', wire([register('LATE')]));
      const before = await house.app.actions.snapshot('P');
      commit();
      const { version } = await late;
      await lock;
      const after = await house.app.actions.snapshot('P');
      expect(before.units.some(({ state }) => state.unit === 'LATE')).toBe(false);
      expect(after).toMatchObject({ version });
      expect(after.units.some(({ state }) => state.unit === 'LATE')).toBe(true);
    } finally {
      await close();
    }
  });
});
