import { describe, expect, it } from 'vitest';
import { nextStep, scanMeans, stationView } from '../../../kiosk/data/station-view.ts';
import type { Snapshot, UnitRow } from '../../../server/contract/snapshot.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';
import type { KeepsFrom } from '../../../server/core/facts/fact.ts';
import { aLine, aPlant, aStation } from '../../support/given.ts';

// Common practice, no source: what stands in the way of a unit comes before its own next step.
const plant = aPlant(aLine([aStation('A'), aStation('B')]), {});
const hold = (keepsFrom: KeepsFrom) => ({ id: `h-${keepsFrom}`, reason: 'Part missing', keepsFrom, fromStation: null, note: '', opened: 0, who: 'w' });

function standing(station: string, finished: number | null, holds: KeepsFrom[] = []): UnitRow {
  const place = { line: station === 'YARD' ? null : 'MAIN', station, slot: '', since: 0, finished, broughtBy: '' };
  return { state: { ...emptyUnit('U1'), place, holds: holds.map(hold) }, visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, late: null, flags: [] };
}

function next(row: UnitRow, stopped = false) {
  const station = row.state.place!.station;
  const stops = stopped ? [{ id: 's', station, reason: 'Tool broken', note: '', opened: 0, who: 'w' }] : [];
  const snapshot: Snapshot = { version: 1, at: 0, plant, setupVersion: 1, units: [row], stops, stations: [], floorTime: [], exits: [] };
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
