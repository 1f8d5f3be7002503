import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import type { SetupReply } from '../contract/replies.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { CheckItem, LimitConfirmed } from '../core/setup/quality.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { confirmByEdition } from './confirm-by-edition.ts';
import type { PlantMemory } from './plant-memory.ts';

export interface AskedLimits {
  check: string;
  item: string;
  edition: unknown;
}

/** Confirms the limits of a check's item: readings of before stay judged as they were. Throws `unknownCheck`, and as `confirmByEdition`. */
export async function confirmLimits(db: Db, memory: PlantMemory, { check, item, edition }: AskedLimits, by: Identity, now: Instant): Promise<SetupReply> {
  return confirmByEdition(db, memory, edition, (plant, confirmed) => withConfirmed(plant, check, item, confirmed), by, now);
}

function withConfirmed(plant: Plant, check: string, item: string, confirmed: LimitConfirmed): Plant {
  const hasLimits = (one: CheckItem): boolean => one.code === item && one.kind === 'measured' && (one.low !== null || one.high !== null);
  if (!plant.checks?.some(({ code, items }) => code === check && items.some(hasLimits))) throw new StationhandError('unknownCheck', { what: `There is no check ${check} with limits at an item ${item}.` });
  const checks = plant.checks.map((one) => (one.code !== check ? one
    : { ...one, items: one.items.map((each) => (hasLimits(each) && each.kind === 'measured' ? { ...each, confirmed } : each)) }));
  return { ...plant, checks };
}
