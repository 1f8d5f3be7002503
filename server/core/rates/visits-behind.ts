import type { Charge } from '../delay/charged-minutes.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import { VISIT_STATES } from './dwell-and-delay.ts';
import type { DelayCauseKind } from './delay-causes.ts';
import { chargesOf, type DwellInput, recordsOf, shiftDelays } from './dwell-input.ts';
import type { Minutes } from '../units.ts';
import type { VisitRecord } from './visit-records.ts';

/**
 * Which visits a figure is of: `counted` all that left; a state, `stationDelay`, `overStandard` or `recovered` those that had minutes of it; `missed`,
 * `provisional`, `finishAssumed` those; `lineDelay` those that a charge to the line is of, also from before the period, and those whose work was passed by without a scan; `cause` those that it cost minutes.
 */
export const BEHIND = ['counted', 'missed', 'provisional', 'finishAssumed', ...VISIT_STATES, 'stationDelay', 'overStandard', 'recovered', 'lineDelay', 'cause'] as const;
export type Behind = (typeof BEHIND)[number];

export interface BehindQuestion extends DwellInput {
  of: Behind;
  week: string;
  /** Of `cause` only. */
  kind: DelayCauseKind | '';
  reason: string;
}

/** A visit with what it cost the line; null where that was not asked for. */
export type VisitBehind = VisitRecord & { lineMinutes: Minutes | null; reasons: { kind: 'hold' | 'stop'; reason: string; minutes: Minutes }[] };

/** The visits behind a figure of the report, in order of arrival; those not scanned last. */
export function visitsBehind(question: BehindQuestion): VisitBehind[] {
  const { history, of, week, filter } = question;
  // A charge is of the shift that lost the minutes, not of the one in which the visit began.
  const { reaching, begun } = recordsOf(of === 'lineDelay' ? { ...question, filter: { ...filter, shift: '' } } : question);
  const reasonOf = reasonsOf(history);
  const told = (record: VisitRecord, lineMinutes: Minutes | null): VisitBehind =>
    ({ ...record, lineMinutes, reasons: record.visit.causes.map(({ id, kind, minutes }) => ({ kind, reason: reasonOf(id), minutes })) });
  const behind = of === 'lineDelay' ? charged([...reaching, ...begun.filter(({ standing }) => standing === 'notScanned')], chargesOf(question, shiftDelays(question)).filter((charge) => week === '' || charge.week === week)).map(([record, minutes]) => told(record, minutes))
    : begun.filter((record) => (week === '' || record.week === week) && isBehind(record, question, reasonOf)).map((record) => told(record, null));
  return behind.sort((a, b) => (a.key.arrived ?? Infinity) - (b.key.arrived ?? Infinity) || (a.key.unit < b.key.unit ? -1 : 1));
}

function isBehind({ visit, standing }: VisitRecord, { of, kind, reason }: BehindQuestion, reasonOf: (id: string) => string): boolean {
  if (of === 'missed') return standing === 'notScanned';
  if (of === 'provisional') return standing === 'provisional';
  if (standing !== 'counted') return false;
  switch (of) {
    case 'counted': case 'lineDelay': return true;
    case 'finishAssumed': return visit.finishAssumed;
    case 'stationDelay': return visit.stationDelay > 0;
    case 'recovered': return visit.recovered > 0;
    case 'overStandard': return visit.minutes.work > visit.standard;
    case 'cause':
      if (kind === 'overStandard') return visit.minutes.work > visit.standard;
      if (kind === 'rollLag') return visit.minutes.rollLag > 0;
      return visit.causes.some((cause) => cause.kind === kind && cause.minutes > 0 && reasonOf(cause.id) === reason);
    default: return visit.minutes[of] > 0;
  }
}

/** The visits that the charges are of, each with what it cost the line: a stop that touched several is told with the one it touched first. */
function charged(records: readonly VisitRecord[], charges: readonly Charge[]): [VisitRecord, Minutes][] {
  const cost = new Map<VisitRecord, Minutes>();
  for (const { cause: { cause, unit, station, lineMinutes } } of charges) {
    if (Math.abs(lineMinutes) < 1e-9) continue;
    const own = records.filter(({ visit }) => (station === null || visit.station === station) && (unit === null ? cause !== null && visit.causes.some(({ id }) => id === cause) : visit.unit === unit));
    own.forEach((record, i) => cost.set(record, (cost.get(record) ?? 0) + (i === 0 ? lineMinutes : 0)));
  }
  return [...cost];
}

function reasonsOf({ units, stops }: LineHistory): (id: string) => string {
  const reasons = new Map<string, string>();
  for (const { holds } of units) for (const hold of holds) reasons.set(hold.id, hold.reason);
  for (const stop of stops) reasons.set(stop.id, stop.reason);
  return (id) => reasons.get(id) ?? '';
}
