import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import type { Line } from '../../server/core/setup/plant.ts';
import { plannedExits, shiftStartedBy } from '../../server/core/timeline/line-output.ts';
import type { Instant } from '../../server/core/units.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { PlanMark } from '../elements/plan-mark.ts';
import { t } from '../words/catalogue.ts';

/** A line against its pace since its shift began: whole units. `behind` is negative when more left than planned. */
export interface Pace {
  planned: number;
  left: number;
  behind: number;
}

/** Null for a line without working time in the last fortnight, or without pace. */
export function paceOf(view: Snapshot, line: Line, now: Instant): Pace | null {
  const setups = [{ version: view.setupVersion, validFrom: 0, plant: view.plant }];
  const time = workingTimeOf(setups, { line: line.code, station: null }, view.floorTime);
  const from = shiftStartedBy(time, now);
  if (from === null || line.pace <= 0) return null;
  const planned = plannedExits(time, from, now, line.pace);
  const left = view.exits.filter((exit) => exit.line === line.code && exit.left >= from).length;
  return { planned, left, behind: planned - left };
}

/** The line's main path: what its pace is told of. */
export function pacedLine(view: Snapshot): Line | null {
  return view.plant.lines.find((line) => line.purpose === 'main') ?? null;
}

/** Where the plan stands on the path: behind as many of the units nearest the line's end as should have left by now and have not. */
export function planMarkOf(view: Snapshot, line: Line, { behind }: Pace): PlanMark | null {
  const [first, end] = [line.stations[0]?.code, line.stations.at(-1)?.code];
  if (first === undefined || end === undefined) return null;
  const words = behind > 0 ? t('path.planBehind', { n: behind }) : behind < 0 ? t('path.planAhead', { n: -behind }) : t('path.planMet');
  const short = behind > 0 ? t('path.planShort', { n: behind }) : t('path.planMet');
  if (behind <= 0) return { place: end, end, unit: null, behind: false, words, short };
  const order = new Map(line.stations.map((station, index) => [station.code, index]));
  const onLine = view.units.flatMap((row) => {
    const place = row.state.place;
    return place?.line === line.code ? [{ unit: row.state.unit, station: place.station, index: order.get(place.station) ?? 0, since: place.since }] : [];
  }).toSorted((a, b) => b.index - a.index || a.since - b.since);
  const last = onLine[behind - 1];
  return { place: last?.station ?? first, end, unit: last?.unit ?? '', behind: true, words, short };
}
