import { isoWeekOf } from '../core/calendar/iso-week.ts';
import type { Cell, Column, Table } from '../core/tables/table.ts';
import type { ShiftDelaysReply } from './line-delay.ts';

const COLUMNS: Column[] = [
  { name: 'week', type: 'text' }, { name: 'date', type: 'date' }, { name: 'shift', type: 'text' },
  ...['line_delay', 'lost', 'in_pipe', 'unit_minutes_late'].map((name): Column => ({ name, type: 'minutes' })),
  { name: 'dearest_station', type: 'text' }, { name: 'dearest_kind', type: 'text' }, { name: 'dearest_reason', type: 'text' }, { name: 'dearest_minutes', type: 'minutes' },
];

/** Line delay of each shift of a period with what cost the line most in it, a row a shift. Days and weeks are its sums. */
export function shiftDelaysTable({ shifts }: ShiftDelaysReply, timeZone: string): Table {
  const rows = shifts.map(({ date, shift, totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate, costs }): Cell[] => {
    const dearest = costs[0] && costs[0].lineMinutes > 0 ? costs[0] : null;
    return [isoWeekOf(date), date, shift, totalMinutes, lostMinutes, inPipeMinutes, unitMinutesLate, dearest?.station ?? null, dearest?.kind ?? null, dearest?.reason ?? null, dearest?.lineMinutes ?? null];
  });
  return { title: 'Line delay by shift', timeZone, columns: COLUMNS, rows };
}
