import type { LineHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Minutes } from '../units.ts';
import { paretoOrder, type ParetoRow } from './pareto.ts';
import type { VisitKey, VisitRecord } from './visit-records.ts';

export type DelayCauseKind = 'hold' | 'stop' | 'overStandard' | 'rollLag';

export interface DelayCause {
  kind: DelayCauseKind;
  /** Why, as the floor said it; '' for over standard and roll lag. */
  reason: string;
  /** Kind and reason, for the order of ties. */
  label: string;
  /** Working minutes of station delay (definitions §4). */
  amount: Minutes;
  /** The visits it cost minutes; of a hold or stop also the facts that opened it. */
  keys: VisitKey[];
  facts: string[];
}

/** The parts of a visit's station delay: held and stopped by reason, over standard, roll lag. They add up to it. */
function partsOf(visit: Visit, reasonOf: (id: string) => string): { kind: DelayCauseKind; reason: string; minutes: Minutes; fact: string | null }[] {
  const caused = visit.causes.map(({ id, kind, minutes }) => ({ kind, reason: reasonOf(id), minutes, fact: id as string | null }));
  const over = Math.max(0, visit.minutes.work - visit.standard);
  return [
    ...caused, { kind: 'overStandard' as const, reason: '', minutes: over, fact: null }, { kind: 'rollLag' as const, reason: '', minutes: visit.minutes.rollLag, fact: null },
  ].filter(({ minutes }) => minutes > 0);
}

/** What the station delay of the counted records came from, largest first; the amounts add up to it. */
export function delayCauses(history: LineHistory, records: readonly VisitRecord[]): ParetoRow<DelayCause>[] {
  const reasons = new Map<string, string>();
  for (const { holds } of history.units) for (const hold of holds) reasons.set(hold.id, hold.reason);
  for (const stop of history.stops) reasons.set(stop.id, stop.reason);
  const causes = new Map<string, DelayCause>();
  for (const { visit, key, standing } of records) {
    if (standing !== 'counted') continue;
    for (const { kind, reason, minutes, fact } of partsOf(visit, (id) => reasons.get(id) ?? '')) {
      const label = reason === '' ? kind : `${kind} ${reason}`;
      const cause = causes.get(label) ?? { kind, reason, label, amount: 0, keys: [], facts: [] };
      causes.set(label, cause);
      cause.amount += minutes;
      if (cause.keys.at(-1) !== key) cause.keys.push(key);
      if (fact !== null && !cause.facts.includes(fact)) cause.facts.push(fact);
    }
  }
  return paretoOrder([...causes.values()]);
}
