import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { compareFacts } from '../../../server/core/facts/order.ts';
import { effectiveFacts } from '../../../server/core/facts/voids.ts';
import { missingForRelease } from '../../../server/core/gates/release.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { allDone, cover, find, fix, leak, one, qualityPlant, record, release, reopen, settle, verify } from '../../support/given-quality.ts';

const U = 'CF1';
const plant = qualityPlant();
const setups = setupOf(plant);
const fold = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setups);
const missing = (...facts: Fact[]) => missingForRelease(fold(...facts).state, plant, minute(60)).map(({ kind, what }) => `${kind} ${what}`);
const VIN = '0ZZTB2525T0000417';

describe('what is missing for a release', () => {
  it('stands in the order in which to mend it', () => {
    const found = find(1);
    const other = find(1, 'roof');
    const hold = at(2, 'openHold', { unit: U, reason: 'Waiting for decision', keepsFrom: 'shipping', fromStation: null, note: '' });
    const short = at(4, 'leaveShort', { unit: U, station: 'A', items: [{ what: 'Step', owner: 'Stores', fitAt: 'C', expected: null }] });
    expect(missing(at(0, 'arrive', { unit: U, station: 'A' }), other, found, fix(3, other.id), hold, cover(3, 'B', 'wall'), short, at(5, 'bindVin', { unit: U, vin: '0ZZTB2526T0000417' }))).toEqual([
      'fit Step', 'fix Screw missing', 'verify Screw missing', 'record Part AXLE', 'settle wall', 'check Check LEAK', 'check Check FINAL',
      'clear Waiting for decision', 'vin 0ZZTB2526T0000417', 'certify Check LABEL', 'item Papers',
    ]);
  });

  it('is nothing once all is done, and nothing for a plant without such a set-up', () => {
    expect(missing(...allDone())).toEqual([]);
    const plain = qualityPlant({ checks: undefined, partKinds: undefined, releaseItems: undefined });
    expect(missingForRelease(fold().state, plain, minute(60))).toEqual([]);
  });

  it('says how a check stands, a pass too old among it', () => {
    const standing = (m: number, ...facts: Fact[]) => missingForRelease(fold(...facts).state, plant, minute(m)).filter(({ kind }) => kind === 'check' || kind === 'certify').map(({ what, detail, station }) => [what, detail, station]);
    expect(standing(60, leak(1, false, 15), one(2, 'LABEL'))).toEqual([['Check LEAK', 'failed', 'B'], ['Check FINAL', 'missing', 'C']]);
    expect(standing(133, ...allDone())).toEqual([['Check FINAL', 'tooOld', 'C']]);
  });

  it('wants a VIN where the plant makes them up, and a right one anywhere', () => {
    const making = { ...plant, vin: { manufacturer: '0ZZ', descriptors: {}, modelYear: 2027, plant: '0' } };
    const vins = (of: typeof plant, ...facts: Fact[]) => missingForRelease(fold(...allDone(), ...facts).state, of, minute(60)).map(({ kind, detail }) => `${kind} ${detail}`);
    expect(vins(making)).toEqual(['vin ']);
    expect(vins(making, at(20, 'bindVin', { unit: U, vin: VIN }))).toEqual([]);
    expect(vins(plant, at(20, 'bindVin', { unit: U, vin: VIN.replace('417', '418') }))).toEqual(['vin checkDigit 9']);
  });

  it('wants the lot of a part where the plant wants lots', () => {
    const lots = { ...plant, partKinds: [{ ...plant.partKinds![0]!, lot: true }] };
    const { state } = fold(...allDone());
    expect(missingForRelease(state, lots, minute(60)).map(({ kind }) => kind)).toEqual(['record']);
    expect(missingForRelease({ ...state, parts: state.parts.map((part) => ({ ...part, lot: 'L7' })) }, lots, minute(60))).toEqual([]);
  });
});

describe('a release', () => {
  it('counts when nothing is missing', () => {
    const { state, flags } = fold(...allDone(), release(30));
    expect(state).toMatchObject({ stage: 'released', released: minute(30), releaseLost: null });
    expect(flags).toEqual([]);
  });

  it('does not count while something is missing: flagged, with what', () => {
    const { state, flags } = fold(...allDone().slice(1), release(30));
    expect(state).toMatchObject({ stage: 'yard', released: null, releaseLost: { at: minute(30), missing: ['check: Check LEAK'] } });
    expect(flags).toMatchObject([{ code: 'notReadyToShip', detail: 'check: Check LEAK' }]);
    expect(fold(...allDone().slice(1), release(30), leak(31, true, 15), release(32)).state).toMatchObject({ stage: 'released', releaseLost: null });
  });

  it('is taken back by what is found after it, and by a late fact of before it', () => {
    const after = find(40);
    expect(fold(...allDone(), release(30), after)).toMatchObject({ state: { stage: 'yard', released: null, releaseLost: { fact: after.id, missing: ['fix: Screw missing'] } }, flags: [{ code: 'releaseTakenBack', fact: after.id }] });
    const late = find(20);
    expect(fold(...allDone(), release(30), late).flags).toMatchObject([{ code: 'notReadyToShip', detail: 'fix: Screw missing' }]);
    expect(fold(...allDone(), release(30), leak(40, false, 15)).state.released).toBeNull();
    expect(fold(...allDone(), release(30), settle(40, false)).state.released).toBeNull();
    expect(fold(...allDone(), release(30), at(40, 'bindVin', { unit: U, vin: 'X' })).state.released).toBeNull();
  });

  it('is revoked by the office, and never by time alone: the age of a pass is told at the release', () => {
    expect(fold(...allDone(), release(30), at(40, 'revokeRelease', { unit: U, reason: 'Dealer asked' })).state).toMatchObject({ stage: 'yard', released: null, releaseLost: null });
    expect(fold(at(40, 'revokeRelease', { unit: U, reason: 'x' })).flags.map(({ code }) => code)).toEqual(['notReleased']);
    expect(fold(...allDone(), release(30), at(4_000, 'park', { unit: U, place: 'YARD', slot: '2' })).state.stage).toBe('released');
    expect(fold(...allDone(), release(4_000)).flags.map(({ code }) => code)).toEqual(['notReadyToShip']);
  });
});

/** A second opinion that knows nothing of the fold: what is open by the facts themselves, one after the other, up to and with the release `last`. */
function openBy(facts: readonly Fact[]): boolean {
  const work = new Map<string, { status: string; zone: string | null }>();
  const passed = new Map<string, 'passed' | 'due' | 'failed'>();
  const [holds, parts, settled] = [new Set<string>(), new Map<string, string>(), new Set<string>()];
  let access = new Set<string>();
  const touch = (zone: string | null): void => {
    if (zone === 'wall' && passed.get('LEAK') === 'passed') passed.set('LEAK', 'due');
  };
  for (const fact of facts) {
    if (fact.kind === 'findWork') work.set(fact.id, { status: 'found', zone: fact.zone });
    if (fact.kind === 'fixWork' && work.get(fact.work)?.status === 'found') { work.get(fact.work)!.status = 'fixed'; touch(work.get(fact.work)!.zone); }
    if (fact.kind === 'verifyWork' && work.get(fact.work)?.status === 'fixed') work.get(fact.work)!.status = 'verified';
    if (fact.kind === 'reopenWork' && work.has(fact.work)) work.get(fact.work)!.status = 'found';
    if (fact.kind === 'openHold') holds.add(fact.id);
    if (fact.kind === 'clearHold') holds.delete(fact.hold);
    if (fact.kind === 'recordPart') parts.set(fact.id, fact.part);
    if (fact.kind === 'removePart') parts.delete(fact.fitted);
    if (fact.kind === 'settleItem') { if (fact.settled) settled.add(fact.item); else settled.delete(fact.item); }
    if (fact.kind === 'coverZones') for (const zone of fact.zones) if ([...work.values()].some((own) => own.zone === zone && own.status !== 'verified')) access = new Set([...access, `${fact.id}/access/${zone}`]);
    if (fact.kind === 'overrideGate') access.delete(fact.breach);
    if (fact.kind !== 'checkResult') continue;
    const failing = fact.results.filter(({ value }) => value === false || (typeof value === 'number' && (value < 10 || value > 20)));
    passed.set(fact.check, failing.length > 0 ? 'failed' : 'passed');
    for (const { item } of fact.results) {
      const mine = [...work].filter(([id]) => id.startsWith(`${fact.check}:`) && id.endsWith(`:${item}`)).find(([, own]) => own.status !== 'verified');
      if (failing.some((one) => one.item === item)) { if (mine) mine[1].status = 'found'; else work.set(`${fact.check}:${fact.id}:${item}`, { status: 'found', zone: item === 'dry' ? 'wall' : null }); }
    }
  }
  return holds.size > 0 || access.size > 0 || [...work.values()].some(({ status }) => status !== 'verified') || ![...parts.values()].includes('AXLE') || !settled.has('PAPERS')
    || ['LEAK', 'LABEL', 'FINAL'].some((check) => passed.get(check) !== 'passed');
}

describe('whatever is stated, and however late', () => {
  const found = [0, 1, 2].map((i) => find(i, ['wall', 'roof', null][i]!));
  const held = [3, 4].map((m) => at(m, 'openHold', { unit: U, reason: 'R', keepsFrom: 'shipping', fromStation: null, note: '' }));
  const parts = [record(5), record(6)];
  const covering = cover(40, 'B', 'wall');
  const target = fc.constantFrom(...found.map(({ id }) => id));
  const minutes = fc.integer({ min: 7, max: 100 });
  const anyFact: fc.Arbitrary<Fact> = fc.oneof(
    fc.constantFrom<Fact>(...found, ...held, ...parts, covering),
    fc.tuple(minutes, target, fc.constantFrom(fix, verify, reopen)).map(([m, work, state]) => state(m, work)),
    fc.tuple(minutes, fc.constantFrom(...held)).map(([m, hold]) => at(m, 'clearHold', { unit: U, hold: hold.id, note: '' })),
    fc.tuple(minutes, fc.boolean(), fc.constantFrom(9, 10, 15, 21)).map(([m, dry, pressure]) => leak(m, dry, pressure)),
    fc.tuple(minutes, fc.constantFrom('LABEL', 'FINAL'), fc.boolean()).map(([m, check, value]) => one(m, check, value)),
    fc.tuple(minutes, fc.constantFrom(...parts)).map(([m, part]) => at(m, 'removePart', { unit: U, fitted: part.id, reason: 'x' })),
    minutes.map((m) => record(m)), fc.tuple(minutes, fc.boolean()).map(([m, settled]) => settle(m, settled)),
    minutes.map((m) => at(m, 'overrideGate', { unit: U, breach: `${covering.id}/access/wall`, reason: 'x' })), minutes.map(release),
  );
  const anyDay = fc.tuple(fc.boolean(), fc.array(anyFact, { maxLength: 14 }), fc.array(minutes, { maxLength: 2 }), fc.infiniteStream(fc.nat()), fc.array(fc.nat(), { maxLength: 2 })).map(([done, facts, releases, salt, voids]) => {
    const all: Fact[] = [registered(U), ...(done ? allDone() : []), ...facts, ...releases.map(release)];
    const answered = voids.flatMap((i) => (all[i % all.length]!.kind === 'register' ? [] : [at(200, 'void', { fact: all[i % all.length]!.id, reason: 'x' })]));
    return [...all, ...answered].map((fact) => ({ fact, key: salt.next().value })).sort((a, b) => a.key - b.key).map(({ fact }) => fact);
  });

  it('no unit stands as released while something is missing', () => {
    let standing = 0;
    fc.assert(fc.property(anyDay, (facts) => {
      const { state } = foldUnit(U, facts, setups);
      expect(state.stage === 'released').toBe(state.released !== null);
      if (state.released === null) return;
      standing++;
      expect(missingForRelease(state, plant, state.released)).toEqual([]);
      expect(openBy(effectiveFacts(facts).filter((fact) => fact.kind !== 'park').toSorted(compareFacts))).toBe(false);
    }), { numRuns: 2_000 });
    expect(standing).toBeGreaterThan(50);
  });

  it('what was released and is not any more says so, by a flag and with what was missing', () => {
    fc.assert(fc.property(anyDay, (facts) => {
      const { state, flags } = foldUnit(U, facts, setups);
      const last = effectiveFacts(facts).findLast(({ kind }) => kind === 'release');
      if (!last || state.released !== null) return;
      expect(state.releaseLost?.missing.length).toBeGreaterThan(0);
      expect(flags.some(({ code, fact }) => (code === 'notReadyToShip' || code === 'releaseTakenBack') && fact === state.releaseLost!.fact)).toBe(true);
    }), { numRuns: 500 });
  });

  it('the order of arrival makes no difference', () => {
    fc.assert(fc.property(anyDay, (facts) => {
      const sorted = [...facts].sort(compareFacts);
      expect(foldUnit(U, facts, setups)).toEqual(foldUnit(U, sorted, setups));
    }), { numRuns: 300 });
  });
});
