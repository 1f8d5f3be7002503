import { workingTimeOf } from '../../server/core/calendar/working-time.ts';
import type { UnitReply } from '../../server/contract/replies.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { Visit } from '../../server/core/timeline/visit.ts';
import type { Instant } from '../../server/core/units.ts';
import type { AxisBar, AxisRow } from '../elements/time-axis.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';

/**
 * The unit's way as rows of an axis: work until finished, waiting until left, what held it and what kept it off the line. Of a visit only working
 * time is drawn, so that a night does not look like work.
 */
export function axisRows(story: UnitReply, view: Snapshot, now: Instant): AxisRow[] {
  const rows: AxisRow[] = story.visits.filter((visit) => !visit.notScanned).map((visit) => {
    const [arrived, end] = [visit.arrived ?? now, visit.left ?? now];
    const worked = Math.min(visit.finished ?? end, end);
    return {
      label: visit.station,
      bars: [...working(view, visit, arrived, worked, 'green', t('state.work')), ...working(view, visit, worked, end, 'grey', t('state.finished'))],
    };
  });
  const holds = story.holds.map(({ from, to, reason }) => ({ from, to: to ?? now, colour: 'yellow' as const, words: `${t('state.held')}: ${reasonText(reason)}` }));
  const off = story.offLine.map(({ from, to, reason }) => ({ from, to: to ?? now, colour: 'red' as const, words: `${t('state.offLine')}: ${reasonText(reason)}` }));
  if (holds.length > 0) rows.push({ label: t('state.held'), bars: holds });
  if (off.length > 0) rows.push({ label: t('unit.offLine'), bars: off });
  return rows;
}

/** Working stretches of [from, to); one that lies wholly outside working time is drawn as it is. */
function working(view: Snapshot, { line, station }: Visit, from: Instant, to: Instant, colour: AxisBar['colour'], words: string): AxisBar[] {
  if (to <= from) return [];
  const setups = [{ version: view.setupVersion, validFrom: 0, plant: view.plant }];
  const stretches = workingTimeOf(setups, { line, station }, view.floorTime).stretches(from, to);
  return (stretches.length > 0 ? stretches : [{ from, to }]).map((stretch) => ({ ...stretch, colour, words }));
}
