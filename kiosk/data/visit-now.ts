import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { VisitMinutes } from '../../server/core/timeline/visit.ts';
import type { Instant, Minutes } from '../../server/core/units.ts';

/**
 * Minutes of a unit's open visit at `now`: those told at `snapshot.at`, and working minutes since then in the state the
 * visit is in. A visit that began after `snapshot.at` counts from its arrival.
 */
export function minutesNow(snapshot: Snapshot, row: UnitRow, now: Instant): VisitMinutes | null {
  const visit = row.visit;
  if (!visit) return null;
  const minutes: VisitMinutes = { ...visit.minutes };
  if (visit.state) {
    const from = Math.max(snapshot.at, visit.arrived ?? snapshot.at);
    minutes[visit.state] += workingMinutes(snapshot, visit.line, visit.station, from, now);
  }
  return minutes;
}

/** Working minutes of a station between two instants, by the set-up and the floor's word in the snapshot. */
export function workingMinutes(snapshot: Snapshot, line: string | null, station: string, from: Instant, to: Instant): Minutes {
  if (to <= from) return 0;
  const setups = [{ version: snapshot.setupVersion, validFrom: 0, plant: snapshot.plant }];
  return workingTimeOf(setups, { line, station }, snapshot.floorTime).workingBetween(from, to);
}
