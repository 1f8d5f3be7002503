import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { aCheck, cover, find, fix, leak, measured, one, qualityPlant, record, reopen, settle, verify } from '../../support/given-quality.ts';

const U = 'CF1';
const setups = setupOf(qualityPlant());
const fold = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setups);
const codes = (...facts: Fact[]) => fold(...facts).flags.map(({ code }) => code);
const arrive = (m: number, station: string) => at(m, 'arrive', { unit: U, station });

describe('open work', () => {
  it('is found, fixed, verified, and may be open again', () => {
    const found = find(1);
    const steps = [found, fix(2, found.id), verify(3, found.id), reopen(4, found.id)];
    expect(steps.map((_, i) => fold(...steps.slice(0, i + 1)).state.work[0]!.status)).toEqual(['found', 'fixed', 'verified', 'found']);
    expect(fold(...steps).state.work[0]).toMatchObject({ reopened: 1, fixed: null, verified: null, found: { at: minute(1), who: 'badge-1' } });
    expect(codes(...steps)).toEqual([]);
  });

  it('is not verified before it is fixed, and no step is taken twice', () => {
    const found = find(1);
    expect(fold(found, verify(2, found.id)).state.work[0]!.status).toBe('found');
    expect(codes(found, verify(2, found.id))).toEqual(['notFixed']);
    expect(codes(found, fix(2, found.id), fix(3, found.id))).toEqual(['twice']);
    expect(codes(found, reopen(2, found.id))).toEqual(['twice']);
    expect(codes(fix(2, 'nothing'))).toEqual(['unknownTarget']);
    expect(codes(find(1, 'attic'))).toEqual(['unknownTarget']);
  });

  it('is verified by another person than the one who fixed it', () => {
    const found = find(1);
    const own = at(3, 'verifyWork', { unit: U, work: found.id, note: '' });
    expect(fold(found, fix(2, found.id), own).state.work[0]!.status).toBe('fixed');
    expect(codes(found, fix(2, found.id), own)).toEqual(['verifiedByFixer']);
    expect(fold(found, fix(2, found.id), own, verify(4, found.id)).state.work[0]).toMatchObject({ status: 'verified', verified: { who: 'badge-2' } });
    expect(codes(found, fix(2, found.id), verify(3, found.id), at(4, 'verifyWork', { unit: U, work: found.id, note: '' }))).toEqual(['twice']);
  });

  it('keeps where it is, what was last said of it, and every photo', () => {
    const spots = [{ drawing: 'door' as const, x: 0.25, y: 0.5 }];
    const found = { ...find(1), spots, photo: 'p1' };
    expect(fold(found).state.work[0]).toMatchObject({ spots, photos: ['p1'], note: '' });
    const fixed = { ...fix(2, found.id), note: 'New screw', photo: 'p2' };
    expect(fold(found, fixed).state.work[0]).toMatchObject({ spots, photos: ['p1', 'p2'], note: 'New screw' });
    expect(fold(found, fixed, reopen(3, found.id)).state.work[0]).toMatchObject({ photos: ['p1', 'p2'], note: 'Loose again' });
    expect(fold(find(1)).state.work[0]).toMatchObject({ spots: [], photos: [] });
  });

  it('is covered: the access gate is passed, flagged for ever, settled by an override', () => {
    const found = find(1);
    const covering = cover(5, 'B', 'wall', 'roof');
    const { state, flags } = fold(found, covering);
    expect(flags).toMatchObject([{ code: 'coveredOpenWork', station: 'B', detail: 'wall: Screw missing' }]);
    expect(state).toMatchObject({ covered: ['roof', 'wall'], breaches: [{ gate: 'access', detail: 'wall', station: 'B', settled: null }] });
    const override = at(9, 'overrideGate', { unit: U, breach: state.breaches[0]!.id, reason: 'Screw is of no use' });
    const after = fold(found, covering, override);
    expect(after.state.breaches[0]!.settled).toEqual({ at: minute(9), who: 'badge-1', reason: 'Screw is of no use' });
    expect(after.flags.map(({ code }) => code)).toEqual(['coveredOpenWork']);
    expect(codes(found, covering, override, { ...override, id: 'again', counter: override.counter + 1 })).toEqual(['coveredOpenWork', 'twice']);
  });

  it('is not covered by closing another zone, or after it was verified', () => {
    const found = find(1);
    expect(codes(found, cover(5, 'C', 'roof'))).toEqual([]);
    expect(codes(found, fix(2, found.id), verify(3, found.id), cover(5, 'B', 'wall'))).toEqual([]);
    expect(codes(found, fix(2, found.id), cover(5, 'B', 'wall'))).toEqual(['coveredOpenWork']);
  });

  it('is passed over what was left short in the zone too, until that is fitted', () => {
    const short = at(1, 'leaveShort', { unit: U, station: 'A', items: [{ what: 'Duct', owner: 'Supplier', fitAt: null, expected: null, zone: 'wall' }, { what: 'Mat', owner: '', fitAt: null, expected: null }] });
    const stand = [arrive(0, 'A'), short];
    expect(codes(...stand, cover(5, 'B', 'wall'))).toContain('coveredOpenWork');
    expect(fold(...stand, cover(5, 'B', 'wall')).state.breaches).toMatchObject([{ gate: 'access', detail: 'wall' }]);
    expect(codes(...stand, cover(5, 'B', 'roof'))).not.toContain('coveredOpenWork');
    expect(codes(...stand, at(4, 'fitShort', { unit: U, short: short.id, item: 0 }), cover(5, 'B', 'wall'))).not.toContain('coveredOpenWork');
  });

  it('found late, but before the zone was closed, shows that the gate was passed', () => {
    const covering = cover(5, 'B', 'wall');
    expect(codes(covering)).toEqual([]);
    expect(codes(covering, find(4))).toEqual(['coveredOpenWork']);
    expect(codes(covering, find(6))).toEqual([]);
  });

  it('may be reached again in a zone that was opened again', () => {
    expect(fold(cover(5, 'B', 'wall', 'roof'), at(6, 'uncoverZones', { unit: U, zones: ['wall'], reason: 'Screw' })).state.covered).toEqual(['roof']);
  });
});

describe('a check', () => {
  it('that fails opens work for each item that failed, which a later pass of the item verifies once it is fixed', () => {
    const failed = leak(1, false, 15);
    expect(fold(failed).state.work).toMatchObject([{ id: `${failed.id}/dry`, zone: 'wall', belongsTo: 'B', status: 'found', ofCheck: { check: 'LEAK', item: 'dry' } }]);
    const spots = [{ drawing: 'plan' as const, x: 0.1, y: 0.9 }];
    const shown = { ...failed, results: failed.results.map((result) => (result.item === 'dry' ? { ...result, note: 'Bubbles at the corner', photo: 'p1', spots } : result)) };
    expect(fold(shown).state.work).toMatchObject([{ note: 'Bubbles at the corner', photos: ['p1'], spots }]);
    const again = { ...leak(2, false, 15), results: [{ item: 'dry', value: false, judged: null, photo: 'p2' }] };
    expect(fold(shown, again).state.work).toMatchObject([{ note: 'Bubbles at the corner', photos: ['p1', 'p2'], spots, reopened: 0 }]);
    const fixed = fix(2, `${failed.id}/dry`);
    expect(fold(failed, fixed, leak(3, true, 15)).state.work[0]!.status).toBe('verified');
    expect(fold(failed, leak(3, true, 15)).state.work[0]!.status).toBe('found');
    expect(fold(failed, fixed, leak(3, false, 15)).state.work).toMatchObject([{ status: 'found', reopened: 1 }]);
    expect(fold(failed, fixed, leak(3, true, 15), leak(4, false, 15)).state.work.map(({ status }) => status)).toEqual(['verified', 'found']);
  });

  it('keeps its attempts, and how the first one ended', () => {
    expect(fold(leak(1, true, 9), leak(2, true, 12)).state.checks).toMatchObject([{ attempts: 2, first: { passed: false, at: minute(1) }, passedAt: minute(2) }]);
  });

  it('counts an attempt that is not complete as none', () => {
    const half = at(3, 'checkResult', { unit: U, check: 'LEAK', version: 1, results: [{ item: 'dry', value: true, judged: null }] });
    expect(fold(half).state.checks).toMatchObject([{ attempts: 0, outcome: 'incomplete', first: null, passedAt: null }]);
    expect(fold(leak(1, true, 15), half).state.checks).toMatchObject([{ attempts: 1, outcome: 'incomplete', passedAt: minute(1) }]);
  });

  it('is due again when work was done in one of its zones after the pass, until it is passed anew', () => {
    const found = find(2);
    const facts = [leak(1, true, 15), found, fix(3, found.id)];
    expect(fold(...facts).state.checks[0]!.dueAgain).toEqual({ zone: 'wall', at: minute(3) });
    expect(fold(...facts, leak(4, true, 15)).state.checks[0]!.dueAgain).toBeNull();
    const roof = find(2, 'roof');
    expect(fold(leak(1, true, 15), roof, fix(3, roof.id)).state.checks[0]!.dueAgain).toBeNull();
    expect(fold(found, fix(3, found.id), leak(4, true, 15)).state.checks[0]!.dueAgain).toBeNull();
  });

  it('is due again when a part in one of its zones is changed', () => {
    const plant = qualityPlant({ checks: [aCheck('AXLES', 'A', { zones: ['floor'] })] });
    const fitted = record(1);
    const folded = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setupOf(plant)).state;
    expect(folded(fitted, one(2, 'AXLES')).checks[0]!.dueAgain).toBeNull();
    expect(folded(fitted, one(2, 'AXLES'), at(3, 'removePart', { unit: U, fitted: fitted.id, reason: 'Bent' }))).toMatchObject({ parts: [], checks: [{ dueAgain: { zone: 'floor' } }] });
  });

  it('left behind is flagged for ever and a breach until it is passed or overridden; a unit pulled off for repair passes no gate', () => {
    const { state, flags } = fold(arrive(0, 'A'), arrive(1, 'B'), arrive(9, 'C'));
    expect(flags).toMatchObject([{ code: 'pastCheck', station: 'B', detail: 'LEAK' }]);
    expect(state.breaches).toMatchObject([{ gate: 'check', detail: 'LEAK', station: 'B', settled: null }]);
    expect(fold(arrive(0, 'A'), arrive(1, 'B'), arrive(9, 'C'), leak(10, true, 15)).state.breaches[0]!.settled).toMatchObject({ at: minute(10) });
    expect(codes(arrive(0, 'A'), arrive(1, 'B'), arrive(9, 'C'), leak(10, true, 15))).toEqual(['pastCheck']);
    expect(codes(arrive(0, 'A'), arrive(1, 'B'), leak(5, true, 15), arrive(9, 'C'))).toEqual([]);
    expect(codes(arrive(0, 'A'), arrive(1, 'B'), leak(5, false, 15), arrive(9, 'C'))).toEqual(['pastCheck']);
    expect(codes(arrive(0, 'A'), arrive(1, 'B'), at(9, 'pullOff', { unit: U, reason: 'Leak', to: null }))).toEqual([]);
  });

  it('made by an old version is judged by it and flagged; one nobody knows is flagged and says nothing', () => {
    const limits = (version: number, high: number) => qualityPlant({ checks: [aCheck('K', 'A', { version, items: [measured('p', 0, high)] })] });
    const versions = [{ version: 1, validFrom: 0, plant: limits(1, 10) }, { version: 2, validFrom: 1, plant: limits(2, 5) }];
    const made = (version: number) => foldUnit(U, [registered(U), at(1, 'checkResult', { unit: U, check: 'K', version, results: [{ item: 'p', value: 8, judged: null }] })], versions);
    expect(made(2).state.checks[0]!.outcome).toBe('failed');
    expect(made(2).flags).toEqual([]);
    expect(made(1).state.checks[0]!.outcome).toBe('passed');
    expect(made(1).flags).toMatchObject([{ code: 'oldVersion', detail: 'K 1' }]);
    expect(made(3).state.checks).toEqual([]);
    expect(made(3).flags).toMatchObject([{ code: 'unknownTarget', detail: 'K 3' }]);
  });

  it('with a result for an item that it does not have is flagged', () => {
    const strange = at(1, 'checkResult', { unit: U, check: 'FINAL', version: 1, results: [{ item: 'one', value: true, judged: null }, { item: 'two', value: true, judged: null }] });
    expect(fold(strange).flags).toMatchObject([{ code: 'unknownTarget', detail: 'FINAL/two' }]);
    expect(fold(strange).state.checks[0]!.outcome).toBe('passed');
  });
});

describe('parts and what the plant wants settled', () => {
  it('are recorded, removed, settled and unsettled', () => {
    const part = record(1);
    expect(fold(part).state.parts).toMatchObject([{ part: 'AXLE', number: 'N-1', at: minute(1) }]);
    expect(codes(part, record(2))).toEqual(['twice']);
    expect(codes(record(1, 'WINGS'))).toEqual(['unknownTarget']);
    expect(codes(at(3, 'removePart', { unit: U, fitted: 'nothing', reason: 'x' }))).toEqual(['unknownTarget']);
    expect(fold(settle(1)).state.settled).toEqual(['PAPERS']);
    expect(fold(settle(1), settle(2, false)).state.settled).toEqual([]);
  });

  it('say nothing to a plant without such a set-up, but are kept and flagged', () => {
    const plain = setupOf(qualityPlant({ zones: undefined, checks: undefined, partKinds: undefined, releaseItems: undefined }));
    const { state, flags } = foldUnit(U, [registered(U), find(1), record(2), settle(3), one(4, 'FINAL')], plain);
    expect(state).toMatchObject({ work: [{ status: 'found' }], parts: [{ part: 'AXLE' }], settled: ['PAPERS'], checks: [] });
    expect(flags.map(({ code }) => code)).toEqual(['unknownTarget', 'unknownTarget', 'unknownTarget', 'unknownTarget']);
  });
});

