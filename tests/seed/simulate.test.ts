import { describe, expect, it } from 'vitest';
import { demoPlant, simulateDemo } from '../../seed/load-demo.ts';
import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import { lackingLabels } from '../../server/core/gates/label-signed.ts';
import { unitLabels } from '../../server/core/gates/label-figures.ts';
import { foldUnits, lineHistoryOf } from '../../server/core/facts/line-history-of.ts';
import { foldPlaces } from '../../server/core/facts/fold-places.ts';
import { deriveVisits } from '../../server/core/timeline/derive-visits.ts';

const NOW = Date.parse('2026-11-25T23:40:00Z');
const DAY = 86_400_000;
const plant = demoPlant(NOW);
const setups = [{ version: 1, validFrom: NOW - 60 * DAY, plant }];
const origin = { plant, now: NOW, seed: 7, speed: 1 };
const facts = simulateDemo(origin, 14).factsUntil(NOW);
const units = [...foldUnits(facts, setups).values()];

describe('the simulated plant', () => {
  it.each(['2026-11-25T23:40:00Z', '2026-11-29T12:00:00Z', '2026-11-26T03:10:00Z', '2027-03-14T15:00:00Z'])('is in mid-shift at %s', (at) => {
    const now = Date.parse(at);
    const time = workingTimeOf([{ version: 1, validFrom: 0, plant: demoPlant(now) }], { line: 'MAIN', station: null }, []);
    const shift = time.shiftAt(now);
    expect(shift && (now - shift.start) / 60_000).toBeGreaterThan(240);
    expect(shift && (shift.end - now) / 60_000).toBeGreaterThan(180);
  });

  it('states the same facts for the same seed, and none in the future', () => {
    const again = simulateDemo(origin, 14);
    expect([NOW - 3 * DAY, NOW - DAY / 7, NOW].flatMap((until) => again.factsUntil(until))).toEqual(facts);
    expect(Math.max(...facts.map((fact) => fact.happened))).toBeLessThanOrEqual(NOW);
  });

  it('fills the line, ships units, and is in believable trouble', () => {
    const stages = new Map<string, number>();
    for (const { state } of units) stages.set(state.stage, (stages.get(state.stage) ?? 0) + 1);
    expect(stages.get('onLine')).toBeGreaterThan(16);
    expect(stages.get('shipped')).toBeGreaterThan(20);
    expect(stages.get('scheduled')).toBeGreaterThan(30);
    expect(units.filter(({ state }) => state.holds.length > 0).length).toBeGreaterThan(0);
    expect(foldPlaces(facts, setups).stops.filter((stop) => stop.cleared === null).length).toBeGreaterThan(0);
    expect(units.filter(({ state }) => !state.known).map(({ state }) => state.unit)).toEqual(['CF1O4471']);
  });

  it('counts heads as each shift begins, and says notes and actions, lends heads, closes what was to be done', () => {
    const shifts = workingTimeOf(setups, { line: 'MAIN', station: null }, []).shiftsBetween(NOW - 14 * DAY, NOW);
    const counted = shifts.map(({ start }) => facts.filter(({ kind, happened }) => kind === 'heads' && happened >= start && happened < start + 60_000).length);
    expect(new Set(counted)).toEqual(new Set([plant.lines.flatMap(({ stations }) => stations).filter(({ plannedHeads }) => plannedHeads > 0).length]));
    const { notes, actions, crew, flags } = foldPlaces(facts, setups);
    expect(notes.length).toBeGreaterThan(5);
    expect(actions.filter(({ closed }) => closed !== null).length).toBeGreaterThan(2);
    expect(actions.filter(({ closed, due }) => closed === null && due !== null && due < NOW).map(({ what }) => what)).toContain('Get a second jig for the entry doors');
    expect(crew.filter(({ kind }) => kind === 'loan').length).toBeGreaterThan(3);
    expect(flags).toEqual([]);
  });

  it('surprises rarely: fewer than 3 flags in 100 facts', () => {
    expect(units.flatMap(({ flags }) => flags).length).toBeLessThan(facts.length * 0.03);
  });

  it('inspects: checks fail now and then and are made again, every release counts, and no station is left without its checks', () => {
    const codes = new Set(units.flatMap(({ flags }) => flags.map(({ code }) => code)));
    for (const code of ['notReadyToShip', 'releaseTakenBack', 'pastCheck', 'coveredOpenWork', 'vinWrong', 'oldVersion', 'notFixed'] as const) expect(codes).not.toContain(code);
    const checks = units.flatMap(({ state }) => state.checks);
    const first = checks.filter(({ first }) => first?.passed).length / checks.length;
    expect(first).toBeGreaterThan(0.9);
    expect(first).toBeLessThan(1);
    expect(units.some(({ state }) => state.work.some(({ status }) => status === 'verified'))).toBe(true);
    expect(facts.filter(({ kind }) => kind === 'release').length).toBeGreaterThan(20);
  });

  it('finds things in the work of its stations, part of them open, part fixed, most verified by another person', () => {
    const work = units.flatMap(({ state }) => state.work).filter(({ ofCheck }) => ofCheck === null);
    const of = (status: string) => work.filter((one) => one.status === status).length;
    expect(of('found')).toBeGreaterThan(5);
    expect(of('fixed')).toBeGreaterThan(0);
    expect(of('verified')).toBeGreaterThan(20);
    for (const { fixed, verified } of work) if (verified) expect(verified.who).not.toBe(fixed!.who);
    const stations = new Set(plant.lines.flatMap((line) => line.stations.map(({ code }) => code)));
    const zones = new Set(plant.zones!.map(({ code }) => code));
    for (const { belongsTo, zone } of work) expect([stations.has(belongsTo!), zone === null || zones.has(zone)]).toEqual([true, true]);
    expect(units.filter(({ state }) => state.shipped !== null).flatMap(({ state }) => state.work).filter(({ status }) => status !== 'verified')).toEqual([]);
    expect(work.filter(({ zone }) => zone !== null).length).toBeGreaterThan(5);
    expect(work.filter(({ zone, status }) => zone !== null && status !== 'verified').length).toBeGreaterThan(0);
  });

  it('weighs every unit and signs its labels with figures that hold', () => {
    const shipped = units.filter(({ state }) => state.shipped !== null);
    for (const { state } of shipped) {
      expect(lackingLabels(state, plant)).toEqual([]);
      expect(unitLabels(plant, state, NOW)!.faults).toEqual([]);
      expect(unitLabels(plant, state, NOW)!.labels.flatMap(({ figures }) => figures).filter(({ missing }) => missing !== null)).toEqual([]);
    }
  });

  it('has limits that nobody confirmed, so that no reading passes or fails by its number', () => {
    const measured = plant.checks!.flatMap(({ items }) => items).filter((item) => item.kind === 'measured' && (item.low !== null || item.high !== null));
    expect(measured.length).toBeGreaterThan(5);
    for (const item of measured) expect(item).toMatchObject({ confirmed: null, text: expect.stringMatching(/example limit/) as string });
    for (const code of ['LEAK', 'GAS', 'MAINS', 'DC12', 'WATER', 'BRAKES']) expect(plant.checks!.find((check) => check.code === code)!.caution).not.toBe('');
  });

  it('has visits whose minutes add up, most of them work', () => {
    const visits = deriveVisits(lineHistoryOf('MAIN', setups, facts), NOW).filter((visit) => !visit.notScanned);
    const sum = (of: 'work' | 'held' | 'stopped' | 'blocked' | 'rollLag') => visits.reduce((total, visit) => total + visit.minutes[of], 0);
    const dwell = visits.reduce((total, visit) => total + visit.dwell, 0);
    expect(sum('work') + sum('held') + sum('stopped') + sum('blocked') + sum('rollLag')).toBeCloseTo(dwell, 3);
    expect(sum('work') / dwell).toBeGreaterThan(0.6);
    expect(sum('held')).toBeGreaterThan(0);
    expect(sum('stopped')).toBeGreaterThan(0);
  });
});
