import { describe, expect, it } from 'vitest';
import { lineDelay } from '../../../server/core/delay/line-delay.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import type { Calendar, Line, Plant, Station } from '../../../server/core/setup/plant.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const STANDARD = { S1: 25, S2: 30, S3: 20 };
interface Given { facts: Fact[]; from?: number; to: number; line?: Partial<Line>; station?: Record<string, Partial<Station>>; plant?: Partial<Plant>; standards?: Record<string, number> }

function told({ facts, from = -1, to, line = {}, station = {}, plant = {}, standards = STANDARD }: Given) {
  const stations = ['S1', 'S2', 'S3'].map((code) => aStation(code, station[code] ?? {}));
  const history = lineHistoryOf('MAIN', setupOf(aPlant(aLine(stations, line), standards, plant)), facts);
  const delay = lineDelay(history, minute(from), minute(to));
  const causes = delay.causes.map(({ kind, unit, station: where, began, localMinutes, lineMinutes }) => [kind, unit, where, (began - minute(0)) / 60_000, localMinutes, lineMinutes]);
  return { ...delay, causes, exits: Object.fromEntries(delay.exits.map((exit) => [exit.unit, [exit.planned + from, exit.built + from]])) };
}
const arrive = (m: number, unit: string, station: string): Fact => at(m, 'arrive', { unit, station });
const finish = (m: number, unit: string, station: string): Fact => at(m, 'finish', { unit, station });
const leave = (m: number, unit: string, station: string): Fact => at(m, 'leave', { unit, station });
const one = (plannedRelease: number | null = 0): Fact => registered('U1', { sequence: 1, plannedRelease: plannedRelease === null ? null : minute(plannedRelease) });
const through = (unit: string, times: number[]): Fact[] => [
  arrive(times[0]!, unit, 'S1'), finish(times[1]!, unit, 'S1'), arrive(times[2]!, unit, 'S2'), finish(times[3]!, unit, 'S2'), arrive(times[4]!, unit, 'S3'), finish(times[5]!, unit, 'S3'),
  leave(times[6]!, unit, 'S3'),
];

describe('releases', () => {
  it('charges a late release from the planned one', () => {
    const found = told({ facts: [one(), ...through('U1', [7, 32, 32, 62, 62, 82, 82])], to: 100 });
    expect(found.causes).toEqual([['lateRelease', 'U1', 'S1', 0, 7, 7]]);
    expect([found.totalMinutes, found.lostMinutes, found.inPipeMinutes]).toEqual([7, 7, 0]);
  });

  it('charges a late release only from a free first place', () => {
    const facts = [one(), registered('U2', { sequence: 2, plannedRelease: minute(0) }), ...through('U1', [0, 25, 25, 55, 55, 75, 75]), ...through('U2', [30, 55, 55, 85, 85, 105, 105])];
    expect(told({ facts, to: 200 }).causes).toEqual([['lateRelease', 'U2', 'S1', 25, 5, 0]]);
  });

  it('tells an early release as recovered', () => {
    const found = told({ facts: [one(10), ...through('U1', [4, 29, 29, 59, 59, 79, 79])], to: 100 });
    expect(found.causes).toEqual([['earlyRelease', 'U1', 'S1', 4, -6, -6]]);
    expect([found.totalMinutes, found.unitMinutesLate]).toEqual([-6, 0]);
  });

  it('lets a release without a date follow the one before it as put in so far', () => {
    const facts = [one(), registered('U2', { sequence: 2 }), ...through('U1', [10, 35, 35, 65, 65, 85, 85]), ...through('U2', [40, 65, 65, 95, 95, 115, 115])];
    const found = told({ facts, to: 200 });
    // The second unit was one pace of 30 minutes behind the first: the ten minutes are the first one's.
    expect(found.causes).toEqual([['lateRelease', 'U1', 'S1', 0, 10, 10]]);
    expect(found.exits).toEqual({ U1: [75, 85], U2: [105, 115] });
  });

  it('never plans a release before the period begins', () => {
    const found = told({ facts: [one(-500), ...through('U1', [3, 28, 28, 58, 58, 78, 78])], from: 0, to: 100 });
    expect(found.causes).toEqual([['lateRelease', 'U1', 'S1', 0, 3, 3]]);
  });
});

describe('work', () => {
  it('is over standard from when it passes it, under standard from the finish', () => {
    const found = told({ facts: [one(), ...through('U1', [0, 29, 29, 55, 55, 75, 75])], to: 100 });
    expect(found.causes).toEqual([['overStandard', 'U1', 'S1', 25, 4, 4], ['underStandard', 'U1', 'S2', 55, -4, -4]]);
    expect(found.totalMinutes).toBe(0);
  });

  it('of a visit open at both ends counts only what it took over', () => {
    const facts = [one(), arrive(0, 'U1', 'S1')];
    expect(told({ facts, from: 10, to: 20 }).causes).toEqual([]);
    // 15 minutes were left at 10; at 40 the visit has taken 30 since, and is done at once as far as the plan knows.
    expect(told({ facts, from: 10, to: 40 }).causes).toEqual([['overStandard', 'U1', 'S1', 25, 15, 15]]);
    expect(told({ facts, from: 30, to: 40 })).toMatchObject({ causes: [['overStandard', 'U1', 'S1', 25, 10, 10]], totalMinutes: 10, inPipeMinutes: 10, lostMinutes: 0 });
  });

  it('is none at a station that was passed without coming to it', () => {
    const facts = [one(), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), arrive(25, 'U1', 'S3'), finish(45, 'U1', 'S3'), leave(45, 'U1', 'S3')];
    const found = told({ facts, to: 100 });
    expect(found.causes).toEqual([['underStandard', 'U1', 'S2', 25, -30, -30]]);
    expect(found.exits).toEqual({ U1: [75, 45] });
  });

  it('is over standard as a whole where the unit goes back', () => {
    const facts = [
      one(), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), arrive(25, 'U1', 'S2'), finish(55, 'U1', 'S2'), arrive(55, 'U1', 'S1'), finish(61, 'U1', 'S1'),
      arrive(61, 'U1', 'S2'), finish(63, 'U1', 'S2'), arrive(63, 'U1', 'S3'), finish(83, 'U1', 'S3'), leave(83, 'U1', 'S3'),
    ];
    const found = told({ facts, to: 100 });
    expect(found.causes).toEqual([['overStandard', 'U1', 'S1', 55, 6, 6], ['overStandard', 'U1', 'S2', 61, 2, 2]]);
    expect(found.exits).toEqual({ U1: [75, 83] });
  });

  it('of a unit that went back and is there still has its way once more before it', () => {
    const facts = [one(), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), arrive(25, 'U1', 'S2'), finish(55, 'U1', 'S2'), arrive(55, 'U1', 'S1')];
    const found = told({ facts, to: 60 });
    // 20 minutes of station 1, 30 of station 2, 20 of station 3 from 60 on.
    expect(found.exits).toEqual({ U1: [75, 130] });
    expect(found.causes).toEqual([['overStandard', 'U1', 'S1', 55, 25, 55]]);
  });
});

describe('holds and stops', () => {
  const hold = (m: number, unit: string, keepsFrom: 'work' | 'leaving' | 'shipping' = 'work') => at(m, 'openHold', { unit, reason: 'Part missing', keepsFrom, fromStation: null, note: '' });
  const clear = (m: number, opened: Fact) => at(m, 'clearHold', { unit: 'U1', hold: opened.id, note: '' });

  it('has a hold after the finish keep the unit until it ends, and add no work', () => {
    const opened = hold(20, 'U1', 'leaving');
    const facts = [one(), opened, clear(34, opened), ...through('U1', [0, 25, 34, 64, 64, 84, 84])];
    expect(told({ facts, to: 100 }).causes).toEqual([['hold', 'U1', 'S1', 20, 9, 9]]);
  });

  it('counts of a hold that was open before only the minutes of the period, and keeps its place in the order', () => {
    const opened = hold(5, 'U1');
    const facts = [one(), opened, arrive(0, 'U1', 'S1')];
    expect(told({ facts, from: 15, to: 40 })).toMatchObject({ causes: [['hold', 'U1', 'S1', 5, 25, 25]], totalMinutes: 25 });
  });

  it('tells holds and stops that touched no visit as 0, and leaves out those of other places', () => {
    const stop = at(5, 'openStop', { station: 'S3', reason: 'Tool broken', note: '' });
    const facts = [one(), stop, at(9, 'clearStop', { station: 'S3', stop: stop.id, note: '' }), at(1, 'openStop', { station: 'YARD', reason: 'Tool broken', note: '' }), hold(2, 'U1', 'shipping'), arrive(0, 'U1', 'S1')];
    expect(told({ facts, to: 20 }).causes).toEqual([['stop', null, 'S3', 5, 0, 0]]);
  });

  it('names the unit of a stop that touched only one', () => {
    const stop = at(5, 'openStop', { station: 'S1', reason: 'Tool broken', note: '' });
    const facts = [one(), stop, at(9, 'clearStop', { station: 'S1', stop: stop.id, note: '' }), ...through('U1', [0, 29, 29, 59, 59, 79, 79])];
    expect(told({ facts, to: 100 }).causes).toEqual([['stop', 'U1', 'S1', 5, 4, 4]]);
  });

  it('has a station closed while the line works as a stop with cause calendar', () => {
    const days: Calendar['shifts'][number]['weekdays'] = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];
    const shift = { name: 'All day', start: '00:00', end: '24:00', weekdays: days };
    const calendars = [{ code: 'always', shifts: [{ ...shift, breaks: [] }], exceptions: [] }, { code: 'own', shifts: [{ ...shift, breaks: [{ start: '00:30', end: '00:45' }] }], exceptions: [] }];
    const facts = [one(), ...through('U1', [0, 25, 25, 70, 70, 90, 90])];
    expect(told({ facts, to: 100, station: { S2: { calendar: 'own' } }, plant: { calendars } }).causes).toEqual([['calendar', 'U1', 'S2', 30, 15, 15]]);
  });
});

describe('moving on', () => {
  it('charges roll lag from its first minute, at the end of the line too', () => {
    const found = told({ facts: [one(), ...through('U1', [0, 25, 28, 58, 58, 78, 83])], to: 100 });
    expect(found.causes).toEqual([['rollLag', 'U1', 'S1', 25, 3, 3], ['rollLag', 'U1', 'S3', 78, 5, 5]]);
  });

  it('charges a pull from the pull until the unit is back', () => {
    const facts = [
      one(), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), at(25, 'pullOff', { unit: 'U1', reason: 'Leak', to: null }), at(65, 'putBack', { unit: 'U1', station: 'S2' }),
      finish(95, 'U1', 'S2'), arrive(95, 'U1', 'S3'), finish(115, 'U1', 'S3'), leave(115, 'U1', 'S3'),
    ];
    expect(told({ facts, to: 200 }).causes).toEqual([['pulledOff', 'U1', 'S1', 25, 40, 40]]);
    // While it is off the line it is not the unit by which the line is told; what it is late itself counts.
    expect(told({ facts, to: 45 })).toMatchObject({ causes: [['pulledOff', 'U1', 'S1', 25, 20, 0]], lastUnit: null, totalMinutes: 0, unitMinutesLate: 20 });
    expect(told({ facts, from: 45, to: 60 }).causes).toEqual([['pulledOff', 'U1', 'S1', 25, 15, 0]]);
  });

  it('lets a cancelled unit make room', () => {
    const facts = [one(), registered('U2', { sequence: 2, plannedRelease: minute(30) }), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), arrive(25, 'U1', 'S2'),
      at(40, 'cancel', { unit: 'U1', reason: 'Order withdrawn' }), arrive(30, 'U2', 'S1')];
    const found = told({ facts, to: 50 });
    expect(found.lastUnit).toBe('U2');
    expect(found.causes.map(([kind, unit]) => [kind, unit])).toContainEqual(['pulledOff', 'U1']);
    expect(found.exits['U1']![1]).toBe(40);
    expect(found.totalMinutes).toBe(0);
  });

  it('charges roll lag to the roll where the line rolls together', () => {
    const facts = [one(), registered('U2', { sequence: 2, plannedRelease: minute(30) }), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), at(33, 'roll', { line: 'MAIN' }), arrive(33, 'U2', 'S1'),
      finish(58, 'U2', 'S1'), finish(63, 'U1', 'S2')];
    const found = told({ facts, to: 63, line: { roll: 'together' } });
    expect(found.causes).toEqual([['rollLag', null, null, 30, 3, 3]]);
    // Rolls at 0, 30, 60, 90 and 110 as planned: the first unit is finished at 80 and waits for the second.
    expect(found.exits).toEqual({ U1: [90, 93], U2: [110, 113] });
  });

  it('tells on a line that rolls together a unit that came after its roll as late, and one that came before its time as early', () => {
    const facts = [one(), registered('U2', { sequence: 2, plannedRelease: minute(20) }), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), at(25, 'roll', { line: 'MAIN' }), arrive(31, 'U2', 'S1')];
    const line = { roll: 'together' as const };
    expect(told({ facts, to: 40, line }).causes).toEqual([['lateRelease', 'U2', 'S1', 25, 6, 1]]);
    const early = [one(), registered('U2', { sequence: 2, plannedRelease: minute(40) }), ...facts.slice(2)];
    expect(told({ facts: early, to: 40, line }).causes).toEqual([['earlyRelease', 'U2', 'S1', 31, -9, -14]]);
  });

  it('charges a pull on a line that rolls together, and lets the others roll on', () => {
    const facts = [
      one(), registered('U2', { sequence: 2, plannedRelease: minute(30) }), arrive(0, 'U1', 'S1'), finish(25, 'U1', 'S1'), at(30, 'roll', { line: 'MAIN' }), arrive(30, 'U2', 'S1'),
      at(40, 'pullOff', { unit: 'U1', reason: 'Leak', to: null }), finish(55, 'U2', 'S1'), at(55, 'roll', { line: 'MAIN' }),
    ];
    const found = told({ facts, to: 60, line: { roll: 'together' } });
    expect(found.lastUnit).toBe('U2');
    // Without the first unit, which had 20 minutes of station 2 left, the second rolled 5 minutes sooner.
    expect(found.causes).toEqual([['underStandard', 'U1', 'S2', 40, -20, -5], ['pulledOff', 'U1', 'S2', 40, 20, 0]]);
    expect(found.exits['U2']).toEqual([110, 105]);
  });
});

describe('a period', () => {
  it('in which nothing was released, or of a line that is none, has no delay', () => {
    expect(told({ facts: [one()], to: 50 })).toMatchObject({ lastUnit: null, totalMinutes: 0, causes: [], exits: {} });
    expect(lineDelay(lineHistoryOf('NONE', setupOf(aPlant(aLine([aStation('S1')]), {})), []), minute(0), minute(1))).toMatchObject({ lastUnit: null, causes: [] });
  });

  it('after the last unit left has none either', () => {
    expect(told({ facts: [one(), ...through('U1', [0, 25, 25, 55, 55, 75, 75])], from: 80, to: 100 })).toMatchObject({ lastUnit: null, totalMinutes: 0, causes: [] });
  });
});
