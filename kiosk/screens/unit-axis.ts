import type { UnitReply } from '../../server/contract/replies.ts';
import type { Instant } from '../../server/core/units.ts';
import type { AxisRow } from '../elements/time-axis.ts';
import { t } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';

/** The unit's way as rows of an axis: work until finished, waiting until left, what held it and what kept it off the line. */
export function axisRows(story: UnitReply, now: Instant): AxisRow[] {
  const rows: AxisRow[] = story.visits.filter((visit) => !visit.notScanned).map((visit) => {
    const [arrived, end] = [visit.arrived ?? now, visit.left ?? now];
    const worked = Math.min(visit.finished ?? end, end);
    return {
      label: visit.station,
      bars: [
        { from: arrived, to: worked, colour: 'green' as const, words: t('state.work') },
        ...(end > worked ? [{ from: worked, to: end, colour: 'grey' as const, words: t('state.finished') }] : []),
      ],
    };
  });
  const holds = story.holds.map(({ from, to, reason }) => ({ from, to: to ?? now, colour: 'yellow' as const, words: `${t('state.held')}: ${reasonText(reason)}` }));
  const off = story.offLine.map(({ from, to, reason }) => ({ from, to: to ?? now, colour: 'red' as const, words: `${t('state.offLine')}: ${reasonText(reason)}` }));
  if (holds.length > 0) rows.push({ label: t('state.held'), bars: holds });
  if (off.length > 0) rows.push({ label: t('state.offLine'), bars: off });
  return rows;
}
