import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { type Covering, type InZone, nextCovering, openIn } from '../../server/core/gates/access.ts';
import type { Instant } from '../../server/core/units.ts';

/** Something open that a station ahead will close in. */
export interface Countdown {
  row: UnitRow;
  open: InZone;
  /** Null when no station ahead on its route closes the zone. */
  next: Covering | null;
  covered: boolean;
  /** When that station will be finished, at standard and with the waiting for places; null where it is not projected. */
  at: Instant | null;
}

/** Everything that lies in a zone: what is covered already first, then what will be soonest. */
export function countdowns(view: Snapshot, rows: readonly UnitRow[] = view.units): Countdown[] {
  const all = rows.flatMap((row) => openIn(row.state, null).map((open): Countdown => ({
    row, open, next: nextCovering(view.plant, row.state, open.zone, row.visit?.minutes.work ?? 0), covered: row.state.covered.includes(open.zone), at: row.coveredAt[open.zone] ?? null,
  })));
  const stations = ({ covered, next }: Countdown): number => (covered ? -1 : (next?.stations ?? Number.POSITIVE_INFINITY));
  return all.toSorted((a, b) => stations(a) - stations(b) || (a.next?.minutes ?? Infinity) - (b.next?.minutes ?? Infinity) || (a.row.state.unit < b.row.state.unit ? -1 : 1));
}
