import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import type { SetupReply } from '../contract/replies.ts';
import { reason } from '../contract/shapes.ts';
import { localOf } from '../core/calendar/zone.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { LimitConfirmed } from '../core/setup/quality.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { loadPlant } from './load-plant.ts';
import type { PlantMemory } from './plant-memory.ts';

/** The plant in which what is confirmed says by whom, when and against which edition. Throws what there is to refuse. */
export type Confirm = (plant: Plant, confirmed: LimitConfirmed) => Plant;

/**
 * Records that something of the set-up was held against an edition of the code in force, by whom and when, as a version of the set-up that holds
 * from now on: what was judged and signed before stays as it was. Throws `malformedBody`, `setupChanged`, and what `confirm` throws.
 */
export async function confirmByEdition(db: Db, memory: PlantMemory, edition: unknown, confirm: Confirm, by: Identity, now: Instant): Promise<SetupReply> {
  const plant = setupAt(memory.setups, now)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  const version = memory.setupVersion;
  const said = reason.safeParse(edition);
  if (!said.success) throw new StationhandError('malformedBody', { what: 'edition does not name the code in force and its edition, in 1 to 500 characters.', where: 'edition' });
  const next = confirm(plant, { who: by.who, when: localOf(plant.timeZone, now).date, edition: said.data });
  return loadPlant(db, next, now, by, now, version);
}
