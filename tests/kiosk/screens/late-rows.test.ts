import { describe, expect, it } from 'vitest';
import { choicesOf, lateRows } from '../../../kiosk/screens/late-rows.ts';
import type { UnitRow } from '../../../server/contract/snapshot.ts';
import { emptyUnit } from '../../../server/core/facts/evolve.ts';

// Late as definitions §7 tells it; worst first is the screen's own rule.
function row(unit: string, minutesLate: number, dealer: string): UnitRow {
  return {
    state: { ...emptyUnit(unit), dealer, promise: '2026-11-20', model: 'L24' },
    visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: null, flags: [],
    late: { promise: '2026-11-20', due: 0, late: minutesLate > 0, minutesLate, calendarDaysLate: 0 },
  };
}

const none = { shipDay: '', dealer: '', model: '' };
const units = [row('U1', 30, 'D2'), row('U2', 0, 'D3'), row('U4', 90, 'D1'), row('U3', 90, 'D2')];

describe('lateRows', () => {
  it('lists late units only, worst first, ties by serial', () => {
    expect(lateRows(units, none).map((one) => one.state.unit)).toEqual(['U3', 'U4', 'U1']);
  });

  it('keeps what fits every filter', () => {
    expect(lateRows(units, { ...none, dealer: 'D2' }).map((one) => one.state.unit)).toEqual(['U3', 'U1']);
    expect(lateRows(units, { ...none, dealer: 'D2', shipDay: '2026-11-21' })).toEqual([]);
  });

  it('offers the values of late units', () => {
    expect(choicesOf(units, (one) => one.state.dealer)).toEqual(['D1', 'D2']);
  });
});
