import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { openWork } from '../../server/core/gates/access.ts';

/** The units at a station, those that came first in front. */
export function unitsAt(view: Snapshot, station: string): UnitRow[] {
  return view.units.filter(({ state }) => state.place?.station === station).toSorted((a, b) => a.state.place!.since - b.state.place!.since);
}

/** Units with open work, the gravest first, then those with most of it; of one station's work when `belongsTo` is given. */
export function unitsWithWork(view: Snapshot, belongsTo: string | null): { row: UnitRow; open: ReturnType<typeof openWork> }[] {
  const grave = (open: ReturnType<typeof openWork>): number => (open[0]?.severity === 'safety' ? 0 : 1);
  return view.units.map((row) => ({ row, open: openWork(row.state.work).filter((one) => belongsTo === null || one.belongsTo === belongsTo) }))
    .filter(({ open }) => open.length > 0).toSorted((a, b) => grave(a.open) - grave(b.open) || b.open.length - a.open.length || (a.row.state.unit < b.row.state.unit ? -1 : 1));
}
