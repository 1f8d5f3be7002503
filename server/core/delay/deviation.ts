import type { Instant } from '../units.ts';
import type { WorkingMs } from './period-visits.ts';
import type { Gap } from './plan.ts';

export type DeviationKind = 'hold' | 'stop' | 'calendar' | 'overStandard' | 'underStandard' | 'rollLag' | 'lateRelease' | 'earlyRelease' | 'pulledOff';

/** One change of a value of the plan. `to` is what it becomes, `by` what is added to it, `atLeast` what it becomes unless it is more. */
export interface ValueChange {
  what: 'work' | 'keep' | 'lag' | 'partedLag' | 'release' | 'rollRelease' | 'follows' | 'rollLag';
  index: number;
  how: 'to' | 'by' | 'atLeast';
  value: number;
}

/** What deviated from the plan (definitions §5), and what putting it in changes. */
export interface Deviation {
  kind: DeviationKind;
  /** The hold or the stop. */
  id: string | null;
  unit: string | null;
  station: string | null;
  began: Instant;
  /** For the order among those that began at the same instant. */
  fact: string;
  local: WorkingMs;
  changes: ValueChange[];
  /** Steps that come onto the plan, and steps that fall out of it. */
  added: number[];
  dropped: number[];
  gap: Gap | null;
}

export function aDeviation(own: Pick<Deviation, 'kind' | 'began'> & Partial<Deviation>): Deviation {
  return { id: null, unit: null, station: null, fact: '', local: 0, changes: [], added: [], dropped: [], gap: null, ...own };
}

export function inOrderOfBeginning(deviations: Deviation[]): Deviation[] {
  return deviations.sort((a, b) => a.began - b.began || (a.fact < b.fact ? -1 : a.fact > b.fact ? 1 : 0));
}
