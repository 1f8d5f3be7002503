import type { LoadRow } from '../core/loads/loads-report.ts';
import type { Cell, Column, Table } from '../core/tables/table.ts';
import type { Instant } from '../core/units.ts';

/** Answer of GET /api/plants/:plant/loads: loads that wait, the next truck first, then those gone lately. */
export interface LoadsReply {
  at: Instant;
  version: number;
  /** When the forecast they are told by was made. */
  made: Instant;
  loads: LoadRow[];
}

const COLUMNS: Column[] = [
  { name: 'load', type: 'text' }, { name: 'carrier', type: 'text' }, { name: 'standing', type: 'text' }, { name: 'pick_up', type: 'instant' }, { name: 'called', type: 'instant' },
  { name: 'all_ready_50', type: 'instant' }, { name: 'all_ready_90', type: 'instant' }, { name: 'probability_not_ready', type: 'number' },
  ...['serial', 'model', 'dealer'].map((name): Column => ({ name, type: 'text' })), { name: 'promise', type: 'date' }, { name: 'stage', type: 'text' }, { name: 'place', type: 'text' },
  { name: 'ready', type: 'instant' }, { name: 'released', type: 'instant' }, { name: 'picked_up', type: 'instant' }, { name: 'came_back', type: 'instant' }, { name: 'why', type: 'text' },
];

/** The loads as a table: a row for each unit on one, for each that came back from one, and for a load without units. */
export function loadsTable(loads: readonly LoadRow[], timeZone: string): Table {
  const rows = loads.flatMap((row): Cell[][] => {
    const { outlook } = row;
    const head: Cell[] = [row.load, row.carrier, row.standing, row.pickUp, row.called?.at ?? null, outlook?.p50 ?? null, outlook?.p90 ?? null, outlook?.missing ?? null];
    const own = row.units.map((unit): Cell[] => [...head, unit.unit, unit.model, unit.dealer, unit.promise, unit.stage, unit.place, unit.ready, unit.released, unit.shipped, null, null]);
    const back = row.cameBack.map(({ unit, at, reason }): Cell[] => [...head, unit, null, null, null, null, null, null, null, null, at, reason]);
    return own.length + back.length > 0 ? [...own, ...back] : [[...head, ...Array.from({ length: COLUMNS.length - head.length }, () => null)]];
  });
  return { title: 'Loads', timeZone, columns: COLUMNS, rows };
}
