import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { appendScans, readStanding, type Standing } from '../../server/actions/append-scans.ts';
import { rebuildDerived } from '../../server/actions/rebuild-derived.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

const NOW = Date.parse('2026-06-01T12:00:00Z');

describe('the quick way through the door', () => {
  let house: TestHouse;
  let plants = 0;
  beforeAll(async () => {
    house = await testHouse();
  });
  afterAll(() => house.close());

  /** A plant of its own in which `facts` were recorded, and what the door knows of it then. */
  async function given(facts: readonly Fact[]): Promise<{ code: string; standing: Standing }> {
    const code = `Q${plants++}`;
    await house.app.actions.loadPlant(wholePlant({ code }), 0, BY);
    if (facts.length > 0) await house.app.actions.recordFacts(code, wire(facts));
    return { code, standing: (await readStanding(house.db, code))! };
  }
  const quickly = (code: string, standing: Standing, facts: readonly Fact[]) => appendScans(house.db, standing, code, facts, NOW);
  const countOf = async (code: string): Promise<number> => (await house.db.selectFrom('facts').where('plant', '=', code).select('id').execute()).length;

  it('takes plain scans of several units, tells their flags, and goes on from where it stands', async () => {
    const { code, standing } = await given([register('A'), register('B')]);
    const first = await quickly(code, standing, [stated(0, 'arrive', { unit: 'A', station: 'S1' }), stated(1, 'arrive', { unit: 'B', station: 'S2' })]);
    const second = await quickly(code, standing, [stated(5, 'finish', { unit: 'A', station: 'S1' }), stated(6, 'arrive', { unit: 'A', station: 'S2' })]);
    expect(first?.replies.map(({ outcome, flags }) => [outcome, flags])).toEqual([['recorded', []], ['flagged', ['skippedStations']]]);
    expect(second?.replies.map(({ outcome }) => outcome)).toEqual(['recorded', 'recorded']);
    expect(second?.version).toBe(first!.version + 2);
    expect(await rebuildDerived(house.db, code)).toMatchObject({ facts: 6, identical: true });
    const { units } = await house.app.actions.snapshot(code);
    expect(units.find(({ state }) => state.unit === 'A')?.state.place?.station).toBe('S2');
  });

  const hold = stated(3, 'openHold', { unit: 'A', reason: 'R', keepsFrom: 'work', fromStation: null, note: '' });
  it.each<[string, Fact[], Fact[]]>([
    ['a scan of before the unit\'s last one', [stated(10, 'arrive', { unit: 'A', station: 'S1' })], [stated(5, 'finish', { unit: 'A', station: 'S1' })]],
    ['a scan of before a roll', [stated(10, 'roll', { line: 'ROLL' })], [stated(5, 'arrive', { unit: 'A', station: 'T1' })]],
    ['a fact that was voided before it came', [stated(4, 'void', { fact: hold.id, reason: 'wrong' })], [hold]],
    ['a scan of a serial that was identified', [stated(1, 'identify', { unit: 'A', scanned: 'SCRAWL', reason: 'R' })], [stated(5, 'arrive', { unit: 'SCRAWL', station: 'S1' })]],
    ['a scan in a feeder cell', [], [stated(5, 'arrive', { unit: 'A', station: 'F1' })]],
    ['what is not of one unit', [], [stated(5, 'arrive', { unit: 'A', station: 'S1' }), stated(5, 'heads', { station: 'S1', heads: 2 })]],
    ['a fact twice', [], [hold, hold]],
    ['a fact that the log has', [hold], [hold]],
  ])('leaves %s to the way under the lock, and has written nothing', async (_what, before, facts) => {
    const { code, standing } = await given([register('A'), ...before]);
    const had = await countOf(code);
    expect(await quickly(code, standing, facts)).toBeNull();
    expect(await countOf(code)).toBe(had);
  });

  it('writes nothing when another server wrote, or the set-up changed, since it read where the plant stands', async () => {
    const { code, standing } = await given([register('A')]);
    await house.app.actions.recordFacts(code, wire([register('B')]));
    expect(await quickly(code, standing, [stated(0, 'arrive', { unit: 'A', station: 'S1' })])).toBeNull();
    const again = (await readStanding(house.db, code))!;
    await house.app.actions.loadPlant(wholePlant({ code }), 5, BY);
    expect(await quickly(code, again, [stated(0, 'arrive', { unit: 'A', station: 'S1' })])).toBeNull();
    expect(await countOf(code)).toBe(2);
    expect(await readStanding(house.db, 'NOWHERE')).toBeNull();
  });
});
