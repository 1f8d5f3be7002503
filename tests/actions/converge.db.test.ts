import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rebuildDerived } from '../../server/actions/rebuild-derived.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { fullState } from '../../server/core/facts/brief-state.ts';
import { dumpDerived } from '../../server/store/derived/dump-derived.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import { aCheck, aPart, yesNo } from '../support/given-quality.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from './house.ts';

const UNITS = ['U1', 'U2', 'U3', 'SCRAWL'];
const STATIONS = ['S1', 'S2', 'S3', 'T1', 'T2', 'F1', 'I1', 'NOWHERE', 'YARD'];
/** A serial that is a unit, a chain of them, and a circle. */
const IDENTIFIED = [{ unit: 'U3', scanned: 'SCRAWL' }, { unit: 'SCRAWL', scanned: 'U2' }, { unit: 'U2', scanned: 'U3' }];

interface Draw { kind: number; unit: number; station: number; m: number; answers: number }
const ZONES = ['wall', 'roof', 'attic', null];
const WHO = ['badge-1', 'badge-2'];

/** What is said of the unit's quality, in the same disorder: by two people, of zones, checks and parts that there are and that there are not. */
function qualityFacts({ m, answers }: Draw, unit: string, station: string, answered: (kind: Fact['kind'], pick: number) => string | null): (Fact | null)[] {
  const zone = ZONES[answers % 4]!;
  const who = { who: WHO[answers % 2]! };
  const [found, checked, part] = [answered('findWork', answers), answered('checkResult', answers), answered('recordPart', answers)];
  const work = answers % 3 === 0 ? checked && `${checked}/one` : found;
  return [
    stated(m, 'findWork', { unit, what: 'W', zone, severity: 'major', belongsTo: station, spots: [{ drawing: 'plan', x: 0.5, y: 0.25 }] }), work ? stated(m, 'fixWork', { unit, work, note: 'N' }, who) : null,
    work ? stated(m, 'verifyWork', { unit, work, note: '' }, who) : null, work ? stated(m, 'reopenWork', { unit, work, reason: 'R' }) : null,
    stated(m, 'coverZones', { unit, station, zones: zone === null ? ['wall', 'roof'] : [zone] }), stated(m, 'uncoverZones', { unit, zones: ['wall'], reason: 'R' }),
    stated(m, 'checkResult', { unit, check: 'LEAK', version: 1, results: [{ item: 'one', value: answers % 2 === 0, judged: null, note: 'N' }] }),
    stated(m, 'recordPart', { unit, part: answers % 5 === 0 ? 'NONE' : 'AXLE', number: `N-${answers % 7}`, lot: '' }), part ? stated(m, 'removePart', { unit, fitted: part, reason: 'R', takenFor: 'U1' }) : null,
    found ? stated(m, 'overrideGate', { unit, breach: `${found}/access/wall`, reason: 'R' }) : null, stated(m, 'settleItem', { unit, item: 'PAPERS', settled: answers % 2 === 0, note: '' }),
    stated(m, 'openCampaign', { unit, campaign: `C${answers % 2}`, title: 'T', steps: ['S', 'S'] }), stated(m, 'signStep', { unit, campaign: `C${answers % 2}`, step: answers % 3, note: '' }),
    stated(m, 'dealerClaim', { unit, claim: `D${answers % 2}`, claimed: '2026-09-01', what: 'W', zone: null, part: null, station: null }), stated(m, 'revokeRelease', { unit, reason: 'R' }),
  ];
}

/** Zones, a check at two stations, a part and papers, so that every gate has something to keep. */
const QUALITY: Partial<Plant> = {
  zones: [{ code: 'wall', name: 'Wall' }, { code: 'roof', name: 'Roof' }], partKinds: [aPart('AXLE', 'S1', { zone: 'wall' })], releaseItems: [{ code: 'PAPERS', name: 'Papers' }],
  checks: [aCheck('LEAK', 'S2', { zones: ['wall'], items: [yesNo('one', 'wall')] }), aCheck('OTHER', 'T1')],
};

/** Facts as a floor at its worst states them; `answers` picks which earlier fact is voided, cleared or fitted. */
function floorFacts(draws: readonly Draw[]): Fact[] {
  const facts: Fact[] = [register('U1'), register('U2', { sequence: 2 })];
  const answered = <K extends Fact['kind']>(kind: K, pick: number): string | null => {
    const found = facts.filter((fact) => fact.kind === kind);
    return found.length > 0 ? found[pick % found.length]!.id : null;
  };
  for (const draw of draws) {
    const unit = UNITS[draw.unit]!;
    const station = STATIONS[draw.station]!;
    const hold = answered('openHold', draw.answers);
    const stop = answered('openStop', draw.answers);
    const short = answered('leaveShort', draw.answers);
    const any = facts[draw.answers % facts.length]!.id;
    const one: (Fact | null)[] = [
      stated(draw.m, 'arrive', { unit, station }), stated(draw.m, 'finish', { unit, station }), stated(draw.m, 'leave', { unit, station }),
      stated(draw.m, 'roll', { line: 'ROLL' }), stated(draw.m, 'openHold', { unit, reason: 'R', keepsFrom: 'work', fromStation: null, note: '' }),
      hold ? stated(draw.m, 'clearHold', { unit, hold, note: '' }) : null, stated(draw.m, 'openStop', { station, reason: 'R', note: '' }),
      stop ? stated(draw.m, 'clearStop', { station, stop, note: '' }) : null, stated(draw.m, 'void', { fact: any, reason: 'wrong' }),
      stated(draw.m, 'pullOff', { unit, reason: 'R', to: null }), stated(draw.m, 'putBack', { unit, station }),
      stated(draw.m, 'identify', { ...IDENTIFIED[draw.answers % 3]!, reason: 'R' }), stated(draw.m, 'goneHome', { line: 'MAIN', station: null }),
      stated(draw.m, 'ship', { unit, carrier: '' }), stated(draw.m, 'comeBack', { unit, reason: 'R' }),
      stated(draw.m, 'leaveShort', { unit, station, items: [{ what: 'W', owner: 'O', fitAt: null, expected: null }] }),
      short ? stated(draw.m, 'fitShort', { unit, short, item: 0 }) : null, stated(draw.m, 'heads', { station, heads: 2 }),
      stated(draw.m, 'arrive', { unit, station: STATIONS[draw.answers % 5]! }),
      ...qualityFacts(draw, unit, station, answered),
      stated(draw.m, 'cancel', { unit, reason: 'R' }), stated(draw.m, 'release', { unit }), stated(draw.m, 'pullOff', { unit, reason: 'R', to: 'YARD' }),
    ];
    const fact = one[draw.kind % one.length];
    if (fact) facts.push(fact);
  }
  return facts;
}

/** Whole minutes, many of them the same, and instants between them: sums of those round differently in another order. */
const anyMinute = fc.oneof(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 3_600_000 }).map((ms) => ms / 60_000));
const draw = fc.record({ kind: fc.nat(36), unit: fc.nat(3), station: fc.nat(8), m: anyMinute, answers: fc.nat(1_000) });

describe('the derived tables', () => {
  let house: TestHouse;
  let plants = 0;
  beforeAll(async () => {
    house = await testHouse();
  });
  afterAll(() => house.close());

  /** A plant of its own in which `batches` were recorded one after the other; its derived rows without its code. */
  async function derivedOf(batches: readonly (readonly Fact[])[], recordedOnce = true): Promise<string[]> {
    const code = `P${plants++}`;
    await house.app.actions.loadPlant(wholePlant({ code, ...QUALITY }), 0, BY);
    for (const batch of batches) {
      const { replies } = await house.app.actions.recordFacts(code, wire(batch));
      if (recordedOnce) expect(replies.every(({ outcome }) => outcome === 'recorded' || outcome === 'flagged')).toBe(true);
    }
    await house.app.actions.minutesTold(code);
    const incremental = await dumpDerived(house.db, code);
    const rebuilt = await rebuildDerived(house.db, code);
    expect(await dumpDerived(house.db, code)).toEqual(incremental);
    expect(rebuilt.identical).toBe(true);
    const snapshot = await house.app.actions.snapshot(code);
    const states = new Map((await house.db.selectFrom('whereabouts').where('plant', '=', code).select('state').execute()).map(({ state }) => [state.unit, fullState(state)]));
    for (const row of snapshot.units) expect(row.state).toEqual(states.get(row.state.unit));
    return incremental.map((row) => row.replace(`"plant": "${code}"`, ''));
  }

  it('come out the same in any order, repeated, in any batches, and when rebuilt', async () => {
    await fc.assert(fc.asyncProperty(fc.array(draw, { minLength: 3, maxLength: 30 }), fc.infiniteStream(fc.nat(1_000_000)), async (draws, chance) => {
      const facts = floorFacts(draws);
      const order = [...facts].map((fact) => ({ fact, key: chance.next().value as number })).sort((a, b) => a.key - b.key).map(({ fact }) => fact);
      const inOrder = await derivedOf(facts.map((fact) => [fact]));
      const atOnce = await derivedOf([facts]);
      const shuffled: Fact[][] = [];
      for (let i = 0; i < order.length; i += 3) shuffled.push(order.slice(i, i + 3));
      const late = await derivedOf([...shuffled, order.slice(0, 4)], false);
      expect(atOnce).toEqual(inOrder);
      expect(late).toEqual(inOrder);
    }), { numRuns: 60, endOnFailure: true });
  }, 240_000);

  it('come out the same when the set-up that held arrives after the facts', async () => {
    const facts = floorFacts(Array.from({ length: 30 }, (_, i) => ({ kind: i % 37, unit: i % 3, station: i % 6, m: i, answers: i * 7 })));
    const changed = (code: string) => wholePlant({ code, ...QUALITY, places: [] });
    const dumps: string[][] = [];
    for (const late of [false, true]) {
      const code = `V${plants++}`;
      await house.app.actions.loadPlant(wholePlant({ code, ...QUALITY }), 0, BY);
      const since = facts[0]!.happened + 1_010 * 60_000;
      if (!late) await house.app.actions.loadPlant(changed(code), since, BY);
      await house.app.actions.recordFacts(code, wire(facts));
      if (late) await house.app.actions.loadPlant(changed(code), since, BY);
      await house.app.actions.minutesTold(code);
      expect((await rebuildDerived(house.db, code)).identical).toBe(true);
      dumps.push((await dumpDerived(house.db, code)).map((row) => row.replace(`"plant": "${code}"`, '')));
    }
    expect(dumps[1]).toEqual(dumps[0]);
  });
});
