import type { SetupVersion } from '../../core/setup/plant.ts';
import type { Tx } from '../database.ts';

/** Adds a version of the set-up under the plant's lock, numbered `seq` in the plant's log. */
export async function insertSetup(tx: Tx, setup: SetupVersion, seq: number, loadedAt: number, by: { who: string; device: string }): Promise<void> {
  await tx.insertInto('setup_versions').values({
    plant: setup.plant.code, version: setup.version, seq, valid_from: new Date(setup.validFrom).toISOString(), document: JSON.stringify(setup.plant),
    loaded_at: new Date(loadedAt).toISOString(), ...by,
  }).execute();
  await tx.updateTable('plants').set({ setup_version: setup.version, name: setup.plant.name }).where('code', '=', setup.plant.code).execute();
}
