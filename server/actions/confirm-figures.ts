import { isDeepStrictEqual } from 'node:util';
import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import { labelFigures } from '../contract/label-setup.ts';
import type { SetupReply } from '../contract/replies.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import { figuresFor } from '../core/gates/label-figures.ts';
import type { LabelFigures } from '../core/setup/labels.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { LimitConfirmed } from '../core/setup/quality.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { confirmByEdition } from './confirm-by-edition.ts';
import type { PlantMemory } from './plant-memory.ts';

export interface AskedFigures {
  unit: string;
  edition: unknown;
  /** The entry of the set-up that the person was shown (`labelFigures`). */
  figures: unknown;
}

/**
 * Confirms the figures that the labels of a unit have, which are those of every unit that the entry is for: labels signed before stay signed.
 * Throws `unknownUnit`, `noLabelFigures`, `malformedBody`, `setupChanged` when other figures hold than were shown, and as `confirmByEdition`.
 */
export async function confirmFigures(db: Db, memory: PlantMemory, { unit, edition, figures }: AskedFigures, by: Identity, now: Instant): Promise<SetupReply> {
  const state = memory.units.get(unit)?.state;
  if (!state?.known) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  return confirmByEdition(db, memory, edition, (plant, confirmed) => withConfirmed(plant, state, figures, confirmed), by, now);
}

function withConfirmed(plant: Plant, state: UnitState, figures: unknown, confirmed: LimitConfirmed): Plant {
  const { labels } = plant;
  const own = labels ? figuresFor(labels, state) : null;
  if (!labels || !own) throw new StationhandError('noLabelFigures', { what: `The set-up in force has no label figures for ${state.unit}.` });
  const seen = labelFigures.safeParse(figures);
  if (!seen.success) {
    const [issue] = seen.error.issues;
    throw new StationhandError('malformedBody', { what: `figures are not those of a label: ${issue?.path.join('.') || 'the entry'}: ${issue?.message ?? 'is malformed'}.`, where: 'figures' });
  }
  if (!same(seen.data, own)) {
    throw new StationhandError('setupChanged', {
      what: `The label figures of ${state.unit} are not those that were shown any more, or somebody confirmed them meanwhile.`, where: 'figures', whatToDo: 'Look at the figures in force, and confirm those.',
    });
  }
  return { ...plant, labels: { ...labels, figures: labels.figures.map((one) => (one === own ? { ...one, confirmed } : one)) } };
}

/** The database keeps the entries of an object in an order of its own, and entries that are not there as none. */
const same = (seen: LabelFigures, own: LabelFigures): boolean => isDeepStrictEqual(seen, labelFigures.parse(own));
