import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { judgeItem } from '../../server/core/gates/check.ts';
import { type UnitLabels, unitLabels } from '../../server/core/gates/label-figures.ts';
import type { Check } from '../../server/core/setup/quality.ts';
import type { Attempt } from './attempt.ts';

/** The unit's labels as an attempt at `check` would leave them: what it weighs by this attempt counts already. */
export function labelsInAttempt({ plant }: Snapshot, { state, manufactured }: UnitRow, check: Check, attempt: Attempt): UnitLabels | null {
  const weighing = plant.labels?.weighing;
  const item = weighing?.check === check.code ? check.items.find(({ code }) => code === weighing.item) : undefined;
  const result = item && attempt[item.code];
  if (item?.kind !== 'measured' || typeof result?.value !== 'number' || judgeItem(item, result) !== 'passed') return unitLabels(plant, state, manufactured);
  const weight = item.unit === 'kg' ? { kg: result.value } : { lb: result.value };
  return unitLabels(plant, { ...state, weighed: { weight, at: 0, who: '' } }, manufactured);
}
