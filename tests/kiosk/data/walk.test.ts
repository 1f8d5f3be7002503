import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { emptyPlaces, nextOnWalk, passedWith, type Walk, walkingOrder, walkProgress, walkReport, walkSteps } from '../../../kiosk/data/walk.ts';
import { withOwnFacts } from '../../../kiosk/data/own-facts.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import type { Snapshot } from '../../../server/contract/snapshot.ts';
import { aLine, aPlant, aStation, at, minute, registered } from '../../support/given.ts';

const halls = ['H1', 'H2', 'YD'].map((code) => ({ code, name: code, floors: [] }));
const main = aLine([aStation('A'), aStation('B'), aStation('C', { hall: 'H2', capacity: 2 })]);
const check = aLine([aStation('I', { hall: 'H2', kind: 'check' })], { code: 'PDI', name: 'Inspection', purpose: 'inspection' });
const feeder = aLine([aStation('F')], { code: 'FEED', name: 'Feeder', purpose: 'feeder' });
const places = [aStation('YARD', { kind: 'yard', hall: 'YD', capacity: 6 }), aStation('RB2', { kind: 'repairBay', hall: 'H2' }), aStation('RB1', { kind: 'repairBay' })];
const plant = aPlant(main, { A: 10, B: 10, C: 10, I: 5 }, { halls, lines: [main, check, feeder], places });

const empty: Snapshot = { version: 1, at: minute(0), plant, setupVersion: 1, units: [], stops: [], stations: [], floorTime: [], crew: [], exits: [], unreleasedShips: [] };
const after = (...facts: Fact[]): Snapshot => withOwnFacts(empty, facts);
const arrive = (m: number, unit: string, station: string): Fact => at(m, 'arrive', { unit, station });
const park = (m: number, unit: string, slot: string): Fact => at(m, 'park', { unit, place: 'YARD', slot });
const seen = (m: number, unit: string, station: string, slot = ''): Fact => at(m, 'seen', { unit, station, slot });
const missing = (m: number, unit: string, station: string): Fact => at(m, 'missing', { unit, station });
const walk = (...passed: string[]): Walk => ({ started: minute(100), ended: null, passed });
const keys = (view: Snapshot, walked: Walk = walk()): string[] => walkSteps(view, walked).map(({ key }) => key);
const stepAt = (view: Snapshot, key: string, walked: Walk = walk()) => walkSteps(view, walked).find((step) => step.key === key)!;

describe('the order of a walk', () => {
  it('goes hall by hall along the lines, then to the bays, then to the yard; parts are not walked', () => {
    expect(walkingOrder(plant).map(({ station }) => station.code)).toEqual(['A', 'B', 'C', 'I', 'RB1', 'RB2', 'YARD']);
  });

  it('asks for every unit at its place, and for the places that are free', () => {
    expect(keys(empty)).toEqual(['A', 'B', 'C', 'I', 'RB1', 'RB2', 'YARD']);
    expect(keys(after(arrive(0, 'U1', 'A'), arrive(0, 'U2', 'C')))).toEqual(['A:U1', 'B', 'C:U2', 'C', 'I', 'RB1', 'RB2', 'YARD']);
  });

  it('goes slot by slot in the yard, free slots beside each other at one look', () => {
    const view = after(park(0, 'U2', '5'), park(0, 'U1', '2'), park(0, 'U3', ''));
    const yard = walkSteps(view, walk()).filter(({ station }) => station.code === 'YARD');
    expect(yard.map(({ key, slots, places: n }) => [key, slots, n])).toEqual([
      ['YARD#1', ['1'], 1], ['YARD:U1', ['2'], 1], ['YARD#3', ['3', '4'], 2], ['YARD:U2', ['5'], 1], ['YARD#6', ['6'], 1], ['YARD:U3', [], 1],
    ]);
  });

  it('asks for both of two units that are said to stand in one slot', () => {
    expect(keys(after(park(0, 'U1', '2'), park(1, 'U2', '2')))).toEqual(expect.arrayContaining(['YARD:U1', 'YARD:U2']));
  });
});

describe('how far a walk has come', () => {
  it('counts a unit that was found since its start, or scanned into its place since', () => {
    expect(stepAt(after(arrive(0, 'U1', 'A')), 'A:U1').walked).toBe(false);
    expect(stepAt(after(arrive(0, 'U1', 'A'), seen(50, 'U1', 'A')), 'A:U1').walked).toBe(false);
    expect(stepAt(after(arrive(0, 'U1', 'A'), seen(110, 'U1', 'A')), 'A:U1').walked).toBe(true);
    expect(stepAt(after(arrive(110, 'U1', 'A')), 'A:U1').walked).toBe(true);
  });

  it('does not come back to a place that a confirmed unit has left meanwhile', () => {
    const step = stepAt(after(arrive(0, 'U1', 'A')), 'A:U1');
    const onward = after(arrive(0, 'U1', 'A'), seen(110, 'U1', 'A'), arrive(115, 'U1', 'B'));
    expect(stepAt(onward, 'A', walk(...passedWith(step, '')))).toMatchObject({ walked: true });
    expect(stepAt(onward, 'B:U1')).toMatchObject({ walked: true });
  });

  it('still asks for the other places where there is room for more than one', () => {
    expect(passedWith(stepAt(after(arrive(0, 'U1', 'C')), 'C:U1'), '')).toEqual([]);
  });

  it('keeps a run of free slots together while it is walked as one, and splits it where a unit is found', () => {
    const view = after(park(0, 'U1', '1'));
    const run = stepAt(view, 'YARD#2');
    expect(run.slots).toEqual(['2', '3', '4', '5', '6']);
    const passed = passedWith(run, '4');
    expect(passed).toEqual(['YARD#2', 'YARD#3', 'YARD#4']);
    const found = after(park(0, 'U1', '1'), seen(110, 'U9', 'YARD', '4'));
    const yard = walkSteps(found, walk(...passed)).filter(({ station }) => station.code === 'YARD').map(({ key, walked }) => [key, walked]);
    expect(yard).toEqual([['YARD:U1', false], ['YARD#2', true], ['YARD:U9', true], ['YARD#5', false]]);
  });

  it('goes on with the first that is left, and to what was put off when nothing else is', () => {
    const steps = walkSteps(after(arrive(0, 'U1', 'A')), walk('B', 'C', 'I', 'RB1', 'RB2'));
    expect(nextOnWalk(steps, [])?.key).toBe('A:U1');
    expect(nextOnWalk(steps, ['A:U1'])?.key).toBe('YARD');
    expect(nextOnWalk(steps, ['A:U1', 'YARD'])?.key).toBe('A:U1');
    expect(nextOnWalk(steps.map((step) => ({ ...step, walked: true })), [])).toBeNull();
  });
});

describe('what a walk came to', () => {
  it('tells units confirmed, corrected and not found, and where each was said to be', () => {
    const standing = [registered('U1'), arrive(0, 'U1', 'A'), registered('U2'), arrive(0, 'U2', 'B'), registered('U3'), arrive(0, 'U3', 'C'), park(0, 'U4', '2')];
    const view = after(...standing, seen(110, 'U1', 'A'), seen(111, 'U2', 'C'), missing(112, 'U3', 'C'), seen(113, 'U4', 'YARD', '5'));
    const report = walkReport(view, minute(100));
    expect(report.confirmed.map(({ state }) => state.unit)).toEqual(['U1']);
    expect(report.corrected.map(({ row, said }) => [row.state.unit, said])).toEqual([['U2', 'B'], ['U4', '2']]);
    expect(report.notFound.map(({ row, said }) => [row.state.unit, said])).toEqual([['U3', 'C']]);
    expect(report.lost.map(({ state }) => state.unit)).toEqual(['U3']);
  });

  it('counts one that was missed and then found elsewhere as corrected, and forgets what an earlier walk said', () => {
    const view = after(registered('U1'), arrive(0, 'U1', 'A'), missing(110, 'U1', 'A'), seen(115, 'U1', 'B'));
    expect(walkReport(view, minute(100))).toMatchObject({ corrected: [{ said: 'A' }], notFound: [], lost: [] });
    expect(walkReport(view, minute(200))).toEqual({ confirmed: [], corrected: [], notFound: [], lost: [] });
  });

  it('asks where a unit is that left a station and came nowhere, not for one that is still to be built', () => {
    const view = after(registered('U1'), arrive(0, 'U1', 'A'), at(5, 'leave', { unit: 'U1', station: 'A' }), registered('U2'));
    expect(walkReport(view, minute(100)).lost.map(({ state }) => state.unit)).toEqual(['U1']);
    expect(emptyUnit('U2').stage).toBe('scheduled');
  });
});

describe('any walk', () => {
  const stations = fc.constantFrom('A', 'B', 'C', 'I', 'RB1', 'RB2', 'YARD');
  const scatter = fc.array(fc.tuple(stations, fc.constantFrom('', '1', '3', '6', 'X')), { maxLength: 8 });
  const answers = fc.array(fc.constantFrom('here' as const, 'missing' as const, 'later' as const), { minLength: 1, maxLength: 6 });

  it('comes to an end with every place walked, whatever is answered on the way', () => {
    fc.assert(fc.property(scatter, answers, (units, said) => {
      const facts = units.map(([station, slot], index) => seen(index, `U${index}`, station, station === 'YARD' ? slot : ''));
      let walked = walk();
      let later: string[] = [];
      for (let turn = 0; turn < 60; turn++) {
        const step = nextOnWalk(walkSteps(after(...facts), walked), later);
        if (!step) break;
        const answer = said[turn % said.length];
        if (answer === 'later' && !later.includes(step.key)) later = [...later, step.key];
        else if (!step.unit) walked = { ...walked, passed: [...walked.passed, ...emptyPlaces(step)] };
        else if (answer === 'missing') facts.push(missing(100 + turn, step.unit.state.unit, step.station.code));
        else {
          facts.push(seen(100 + turn, step.unit.state.unit, step.station.code, step.slots[0] ?? ''));
          walked = { ...walked, passed: [...walked.passed, ...passedWith(step, step.slots[0] ?? '')] };
        }
      }
      const { walked: done, all } = walkProgress(walkSteps(after(...facts), walked));
      expect(done).toBe(all);
      expect(walkReport(after(...facts), walked.started).corrected).toEqual([]);
    }));
  });

  it('counts every place that is not full once, and no fewer than there are', () => {
    fc.assert(fc.property(scatter, (units) => {
      const facts = units.map(([station, slot], index) => seen(index, `U${index}`, station, slot));
      const steps = walkSteps(after(...facts), walk());
      expect(new Set(steps.map(({ key }) => key)).size).toBe(steps.length);
      expect(steps.filter(({ unit }) => unit !== null)).toHaveLength(units.length);
      for (const { station } of walkingOrder(plant)) {
        const there = steps.filter((step) => step.station.code === station.code).reduce((sum, step) => sum + step.places, 0);
        expect(there).toBeGreaterThanOrEqual(station.capacity ?? 1);
      }
    }));
  });
});
