import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import { plantSchema } from '../contract/plant.ts';
import type { SetupReply } from '../contract/replies.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { advancePlant } from '../store/setup/advance-plant.ts';
import { insertPlant } from '../store/setup/insert-plant.ts';
import { insertSetup } from '../store/setup/insert-setup.ts';
import { lockPlant } from '../store/setup/lock-plant.ts';
import { deriveAll } from './rebuild-derived.ts';

const PROBLEMS_NAMED = 10;

/** The plant in `document`. Throws `malformedPlant` that names up to ten entries. */
export function readPlantDocument(document: unknown): Plant {
  const parsed = plantSchema.safeParse(document);
  if (!parsed.success) {
    const named = parsed.error.issues.slice(0, PROBLEMS_NAMED).map((issue) => `${issue.path.join('.') || 'the document'}: ${issue.message}`);
    const more = parsed.error.issues.length - named.length;
    throw new StationhandError('malformedPlant', { what: `The set-up of the plant cannot be used: ${named.join('; ')}${more > 0 ? `; and ${more} more` : ''}.` });
  }
  if (/\\u(0000|d[89a-f])/.test(JSON.stringify(parsed.data))) throw new StationhandError('malformedPlant', { what: 'The set-up of the plant holds characters that are no text.' });
  return parsed.data;
}

/**
 * Adds a version of the plant's set-up that holds from `validFrom`, making the plant when it is the first. What is derived from facts is derived
 * anew under it, in the same transaction. `follows`: the version that `document` was made from, where it may not undo another of meanwhile.
 * Throws `malformedPlant`, `setupChanged`.
 */
export async function loadPlant(db: Db, document: unknown, validFrom: Instant, by: Identity, now: Instant, follows?: number): Promise<SetupReply> {
  const plant = readPlantDocument(document);
  await insertPlant(db, plant.code, plant.name);
  return db.transaction().execute(async (tx) => {
    const locked = await lockPlant(tx, plant.code);
    if (!locked) throw new StationhandError('unknownPlant');
    if (follows !== undefined && locked.setupVersion !== follows) throw new StationhandError('setupChanged');
    const version = locked.setupVersion + 1;
    await insertSetup(tx, { version, validFrom, plant }, locked.nextSeq, now, by);
    await deriveAll(tx, plant.code);
    await advancePlant(tx, plant.code, locked.nextSeq + 1);
    return { version, validFrom };
  });
}
