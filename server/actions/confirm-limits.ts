import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import type { SetupReply } from '../contract/replies.ts';
import { reason } from '../contract/shapes.ts';
import { localOf } from '../core/calendar/zone.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { CheckItem, LimitConfirmed } from '../core/setup/quality.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { loadPlant } from './load-plant.ts';
import type { PlantMemory } from './plant-memory.ts';

export interface AskedLimits {
  check: string;
  item: string;
  edition: unknown;
}

/**
 * Records that the limits of a check's item were held against an edition of the code in force, by whom and when, as a version of the set-up that
 * holds from now on: readings of before stay judged as they were. Throws `unknownCheck`, `malformedBody`.
 */
export async function confirmLimits(db: Db, memory: PlantMemory, { check, item, edition }: AskedLimits, by: Identity, now: Instant): Promise<SetupReply> {
  const plant = setupAt(memory.setups, now)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  const said = reason.safeParse(edition);
  if (!said.success) throw new StationhandError('malformedBody', { what: 'edition does not name the code in force and its edition, in 1 to 500 characters.', where: 'edition' });
  const confirmed: LimitConfirmed = { who: by.who, when: localOf(plant.timeZone, now).date, edition: said.data };
  const next = withConfirmed(plant, check, item, confirmed);
  if (!next) throw new StationhandError('unknownCheck', { what: `There is no check ${check} with limits at an item ${item}.` });
  return loadPlant(db, next, now, by, now);
}

function withConfirmed(plant: Plant, check: string, item: string, confirmed: LimitConfirmed): Plant | null {
  const hasLimits = (one: CheckItem): boolean => one.code === item && one.kind === 'measured' && (one.low !== null || one.high !== null);
  if (!plant.checks?.some(({ code, items }) => code === check && items.some(hasLimits))) return null;
  const checks = plant.checks.map((one) => (one.code !== check ? one
    : { ...one, items: one.items.map((each) => (hasLimits(each) && each.kind === 'measured' ? { ...each, confirmed } : each)) }));
  return { ...plant, checks };
}
