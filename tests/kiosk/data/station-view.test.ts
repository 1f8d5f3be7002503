import { describe, expect, it } from 'vitest';
import { comingInstant, isManned, nextStep, scanMeans, stationView } from '../../../kiosk/data/station-view.ts';
import type { Snapshot, UnitRow } from '../../../server/contract/snapshot.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';
import type { KeepsFrom } from '../../../server/core/facts/fact.ts';
import { aLine, aPlant, aStation, minute } from '../../support/given.ts';

// Common practice, no source: what stands in the way of a unit comes before its own next step.
const plant = aPlant(aLine([aStation('A'), aStation('B')]), {});
const hold = (keepsFrom: KeepsFrom) => ({ id: `h-${keepsFrom}`, reason: 'Part missing', keepsFrom, fromStation: null, note: '', opened: 0, who: 'w' });

function standing(station: string, finished: number | null, holds: KeepsFrom[] = []): UnitRow {
  const place = { line: station === 'YARD' ? null : 'MAIN', station, slot: '', since: 0, finished, broughtBy: '' };
  return { state: { ...emptyUnit('U1'), place, holds: holds.map(hold) }, visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, manufactured: null, coveredAt: {}, late: null, flags: [] };
}

function next(row: UnitRow, stopped = false) {
  const station = row.state.place!.station;
  const stops = stopped ? [{ id: 's', station, reason: 'Tool broken', note: '', opened: 0, who: 'w' }] : [];
  const snapshot: Snapshot = { version: 1, at: 0, plant, setupVersion: 1, units: [row], stops, stations: [], floorTime: [], exits: [], unreleasedShips: [], crew: [] };
  const view = stationView(snapshot, station)!;
  return { step: nextStep(view, row).kind, scan: scanMeans(view, 'U1') };
}

describe('the next step of a unit at a station', () => {
  it('is to finish, then to leave, as a scan means', () => {
    expect(next(standing('A', null))).toEqual({ step: 'finish', scan: 'finish' });
    expect(next(standing('A', 5))).toEqual({ step: 'leave', scan: 'leave' });
  });

  it('is to clear what stands in its way; a scan still states what happened', () => {
    expect(next(standing('A', null), true)).toEqual({ step: 'clearStop', scan: 'finish' });
    expect(next(standing('A', null, ['work']))).toEqual({ step: 'clearHold', scan: 'finish' });
    expect(next(standing('A', 5, ['leaving']))).toEqual({ step: 'clearHold', scan: 'leave' });
  });

  it('is not kept by what keeps it from something else', () => {
    expect(next(standing('A', null, ['leaving', 'shipping'])).step).toBe('finish');
    expect(next(standing('A', 5, ['work', 'shipping'])).step).toBe('leave');
    expect(next(standing('A', 5), true).step).toBe('leave');
  });

  it('is to leave a yard place, which has no work to finish', () => {
    expect(next(standing('YARD', null))).toEqual({ step: 'leave', scan: 'leave' });
  });
});

describe('whether somebody should be at work at a station', () => {
  const dayShift = aPlant(aLine([aStation('A')], { calendar: 'day' }), {}, {
    calendars: [{ code: 'day', exceptions: [], shifts: [{ name: 'Day', start: '06:00', end: '14:30', breaks: [{ start: '09:00', end: '09:15' }], weekdays: ['mon'] }] }],
  });
  const at = (m: number, floorTime: Snapshot['floorTime'] = [], station = 'A'): boolean => {
    const snapshot: Snapshot = { version: 1, at: 0, plant: dayShift, setupVersion: 1, units: [], stops: [], stations: [], floorTime, exits: [], unreleasedShips: [], crew: [] };
    return isManned(snapshot, stationView(snapshot, station)!, minute(m));
  };

  it('is so in the shift and its breaks, not before, not after; a yard place is never asked', () => {
    expect([359, 360, 545, 869, 870].map((m) => at(m))).toEqual([false, true, true, true, false]);
    expect(at(100, [], 'YARD')).toBe(true);
  });

  it('follows what the floor said: open until, gone home', () => {
    expect(at(900, [{ kind: 'openUntil', line: 'MAIN', station: null, happened: minute(871), until: minute(930) }])).toBe(true);
    expect(at(800, [{ kind: 'goneHome', line: null, station: 'A', happened: minute(790), until: null }])).toBe(false);
  });

  it('means the next time the clock shows it', () => {
    expect(comingInstant('UTC', '15:30', minute(870))).toBe(minute(930));
    expect(comingInstant('UTC', '00:30', minute(1_430))).toBe(minute(1_470));
  });
});
