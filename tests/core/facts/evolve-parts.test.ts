import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { missingForRelease } from '../../../server/core/gates/release.ts';
import { at, minute, registered, setupOf } from '../../support/given.ts';
import { aPart, allDone, qualityPlant } from '../../support/given-quality.ts';

const U = 'CF1';
const plant = qualityPlant({ partKinds: [aPart('AXLE', 'A', { zone: 'floor' }), aPart('TIRE', 'A', { format: 'dotTin' })] });
const fold = (...facts: Fact[]) => foldUnit(U, [registered(U), ...facts], setupOf(plant));
const codes = (...facts: Fact[]) => fold(...facts).flags.map(({ code }) => code);
const record = (m: number, part: string, number: string, more: { takenFrom?: string } = {}) => at(m, 'recordPart', { unit: U, part, number, lot: '', ...more });
const remove = (m: number, fitted: Fact, takenFor?: string) => at(m, 'removePart', { unit: U, fitted: fitted.id, reason: 'Wanted elsewhere', ...(takenFor ? { takenFor } : {}) });

describe('a part', () => {
  it('with a number that no such part has is recorded and flagged', () => {
    expect(codes(record(1, 'TIRE', '0XX1234562626'))).toEqual([]);
    expect(codes(record(1, 'TIRE', '0XX1234565326'))).toEqual(['partNumberWrong']);
    expect(fold(record(1, 'TIRE', '0XX1234565326')).state.parts).toMatchObject([{ number: '0XX1234565326', takenFrom: null }]);
  });

  it('taken out is kept with why; taken for another unit leaves this one short of it, until one is recorded again', () => {
    const axle = record(1, 'AXLE', 'N-1');
    expect(fold(axle, remove(2, axle)).state).toMatchObject({ parts: [], shorts: [], partsOut: [{ number: 'N-1', removed: { at: minute(2), takenFor: null, reason: 'Wanted elsewhere' } }] });
    const taken = fold(axle, remove(2, axle, 'CF9')).state;
    expect(taken).toMatchObject({ parts: [], shorts: [{ what: 'Part AXLE', fitAt: 'A', zone: 'floor', opened: minute(2) }], partsOut: [{ removed: { takenFor: 'CF9' } }] });
    const again = fold(axle, remove(2, axle, 'CF9'), record(3, 'AXLE', 'N-2')).state;
    expect(again).toMatchObject({ shorts: [], parts: [{ number: 'N-2' }], partsOut: [{ number: 'N-1' }] });
  });

  it('taken out twice for others leaves one shortage, which may be called fitted too', () => {
    const [one, two] = [record(1, 'AXLE', 'N-1'), record(3, 'AXLE', 'N-2')];
    const facts = [one, remove(2, one, 'CF8'), two, remove(4, two, 'CF9')];
    const { shorts } = fold(...facts).state;
    expect(shorts).toHaveLength(1);
    expect(fold(...facts, at(5, 'fitShort', { unit: U, short: shorts[0]!.short, item: 0 })).state.shorts).toEqual([]);
  });

  it('from another unit says from which', () => expect(fold(record(1, 'AXLE', 'N-1', { takenFrom: 'CF7' })).state.parts).toMatchObject([{ takenFrom: 'CF7' }]));
});

describe('a campaign', () => {
  const open = (m: number, campaign = 'C1') => at(m, 'openCampaign', { unit: U, campaign, title: 'Change the valve', steps: ['Close the gas', 'Change the valve'] });
  const sign = (m: number, step: number, campaign = 'C1') => at(m, 'signStep', { unit: U, campaign, step, note: '' });

  it('calls a unit in once, and is signed step by step', () => {
    expect(codes(open(1), open(2))).toEqual(['twice']);
    expect(fold(open(1), sign(2, 1)).state.campaigns).toMatchObject([{ campaign: 'C1', opened: minute(1), steps: [{ done: null }, { done: { at: minute(2), who: 'badge-1' } }] }]);
    expect(codes(open(1), sign(2, 1), sign(3, 1))).toEqual(['twice']);
    expect(codes(open(1), sign(2, 2))).toEqual(['unknownTarget']);
    expect(codes(open(1), sign(2, 0, 'C2'))).toEqual(['unknownTarget']);
  });

  it('keeps a unit from its release until every step is signed', () => {
    const ready = { ...plant, partKinds: qualityPlant().partKinds };
    const told = (...facts: Fact[]) => missingForRelease(foldUnit(U, [registered(U), ...allDone(), ...facts], setupOf(ready)).state, ready, minute(30)).map(({ kind, what }) => [kind, what]);
    expect(told()).toEqual([]);
    expect(told(open(20), sign(21, 0))).toEqual([['campaign', 'Change the valve']]);
    expect(told(open(20), sign(21, 0), sign(22, 1))).toEqual([]);
  });

  it('takes back a release that counted', () => {
    const ready = setupOf({ ...plant, partKinds: qualityPlant().partKinds });
    const { state, flags } = foldUnit(U, [registered(U), ...allDone(), at(16, 'release', { unit: U }), open(20)], ready);
    expect([state.released, state.releaseLost?.missing]).toEqual([null, ['campaign: Change the valve']]);
    expect(flags.map(({ code }) => code)).toEqual(['releaseTakenBack']);
  });

  it('surprises nobody on a unit that was shipped', () => {
    const { state, flags } = foldUnit(U, [registered(U), at(1, 'ship', { unit: U, carrier: 'T1', override: 'Said so' }), open(20), sign(21, 0)], setupOf(plant));
    expect(flags.map(({ code }) => code)).toEqual(['notReleased']);
    expect(state.campaigns[0]!.steps.map(({ done }) => done !== null)).toEqual([true, false]);
  });
});
