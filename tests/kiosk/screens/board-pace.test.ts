import { describe, expect, it } from 'vitest';
import { paceOf, pacedLine, planMarkOf } from '../../../kiosk/screens/board-pace.ts';
import type { Snapshot, UnitRow } from '../../../server/contract/snapshot.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';
import { aLine, aPlant, aStation, minute } from '../../support/given.ts';

// Pace: definitions §4. Where the mark stands is the board's own rule.
const line = aLine([aStation('A'), aStation('B'), aStation('C')]);
const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [], weekdays: ['mon' as const, 'tue' as const] };
const plant = aPlant(line, {}, { calendars: [{ code: 'always', shifts: [day], exceptions: [] }] });
const SIX = 360;

function unit(name: string, station: string, since: number): UnitRow {
  const place = { line: 'MAIN', station, slot: '', since, finished: null, broughtBy: '' };
  return { state: { ...emptyUnit(name), place }, visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, manufactured: null, coveredAt: {}, late: null, flags: [] };
}

function snapshot(exits: number[], units: UnitRow[] = []): Snapshot {
  const left = exits.map((m, index) => ({ line: 'MAIN', unit: `X${index}`, left: minute(m) }));
  return { version: 1, at: minute(SIX), plant, setupVersion: 1, units, stops: [], stations: [], floorTime: [], crew: [], exits: left, unreleasedShips: [] };
}

describe('paceOf', () => {
  it('holds what left in the shift against working minutes by pace', () => {
    expect(paceOf(snapshot([SIX + 10, SIX + 50]), line, minute(SIX + 95))).toEqual({ planned: 3, left: 2, behind: 1 });
    expect(paceOf(snapshot([SIX + 10, SIX + 50]), line, minute(SIX + 30))).toEqual({ planned: 1, left: 2, behind: -1 });
  });

  it('begins anew with the shift, though the snapshot is of the one before', () => {
    expect(paceOf(snapshot([SIX + 10]), line, minute(1440 + SIX + 30))).toEqual({ planned: 1, left: 0, behind: 1 });
  });

  it('is not told of a line without pace', () => {
    expect(paceOf(snapshot([]), { ...line, pace: 0 }, minute(SIX + 30))).toBeNull();
  });
});

describe('planMarkOf', () => {
  const onLine = [unit('U4', 'A', 1), unit('U2', 'B', 1), unit('U3', 'B', 2), unit('U1', 'C', 1)];
  const mark = (behind: number) => planMarkOf(snapshot([], onLine), line, { planned: 0, left: 0, behind });

  it('stands at the end of the line when as many left as planned, or more', () => {
    expect(mark(0)).toMatchObject({ place: 'C', end: 'C', unit: null, behind: false });
    expect(mark(-2)).toMatchObject({ place: 'C', unit: null, behind: false });
  });

  it('stands behind the units nearest the end, as many as should have left', () => {
    expect(mark(1)).toMatchObject({ place: 'C', unit: 'U1', behind: true });
    expect(mark(2)).toMatchObject({ place: 'B', unit: 'U2' });
    expect(mark(3)).toMatchObject({ place: 'B', unit: 'U3' });
  });

  it('stands at the beginning when more should have left than are on the line', () => {
    expect(mark(9)).toMatchObject({ place: 'A', unit: '', behind: true });
  });

  it('needs a line with stations', () => {
    expect(planMarkOf(snapshot([]), { ...line, stations: [] }, { planned: 0, left: 0, behind: 1 })).toBeNull();
    expect(pacedLine(snapshot([]))?.code).toBe('MAIN');
  });
});
