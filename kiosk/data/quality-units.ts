import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { CheckState } from '../../server/core/facts/quality-state.ts';
import type { UnitState } from '../../server/core/facts/unit-state.ts';
import { openWork } from '../../server/core/gates/access.ts';
import { checksFor, checkStanding, type CheckStanding } from '../../server/core/gates/check.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import type { Check } from '../../server/core/setup/quality.ts';
import type { Instant } from '../../server/core/units.ts';

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

export interface UnitCheck {
  check: Check;
  state: CheckState | undefined;
  standing: CheckStanding;
}

/** The checks that the unit needs, with where it stands with each; of one station when `station` is given. */
export function checksOf(plant: Plant, state: UnitState, at: Instant, station: string | null = null): UnitCheck[] {
  return checksFor(plant, state.model, state.options).filter((check) => station === null || check.station === station).map((check) => {
    const own = state.checks.find((one) => one.check === check.code);
    return { check, state: own, standing: checkStanding(check, own, at) };
  });
}

/** Units that stand at a station where they have a check to make, that of `first` in front, then in the order of the lines and of coming. */
export function unitsToCheck(view: Snapshot, at: Instant, first: string): { row: UnitRow; station: string; left: UnitCheck[] }[] {
  const order = view.plant.lines.flatMap(({ stations }) => stations.map(({ code }) => code));
  const place = (station: string): number => (station === first ? -1 : order.indexOf(station));
  return view.units.flatMap((row) => {
    const station = row.state.place?.station;
    const left = station === undefined ? [] : checksOf(view.plant, row.state, at, station).filter(({ standing }) => standing !== 'passed');
    return station === undefined || left.length === 0 ? [] : [{ row, station, left }];
  }).toSorted((a, b) => place(a.station) - place(b.station) || a.row.state.place!.since - b.row.state.place!.since);
}
