import type { Plant } from '../../../server/core/setup/plant.ts';
import { labelSetup, weighed } from '../given-labels.ts';
import { aCheck, qualityPlant } from '../given-quality.ts';

/** The plant of `qualityPlant` that has label figures besides, and wants no label for a release. */
export function fuzzedPlant(code: string): Plant {
  const checks = [...qualityPlant().checks!, aCheck('WEIGH', 'C', { items: [weighed] })];
  return qualityPlant({ code, checks, labels: labelSetup({ required: [], weighing: { check: 'WEIGH', item: weighed.code } }) });
}
