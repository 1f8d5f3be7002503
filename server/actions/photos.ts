import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import { uuidV7 } from '../contract/shapes.ts';
import { stampOf } from '../core/access/judge-fact.ts';
import { covers, type Span } from '../core/access/roles.ts';
import { jpegSize, PHOTO_BYTES, PHOTO_SIDE } from '../core/photos/jpeg.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { insertPhoto } from '../store/photos/insert-photo.ts';
import { readPhoto } from '../store/photos/read-photo.ts';

export interface Photos {
  /**
   * Keeps a photo under the id its device gave it; the same again is kept once. `letIn`: when the device that hands it in was, null for one that is: what it
   * took then still counts. Throws `malformedPhoto`, and `noRight` for one taken at another time.
   */
  keep(plant: string, id: string, bytes: Buffer, by: Identity, letIn?: Span | null): Promise<{ id: string }>;
  /** Throws `unknownPhoto`. */
  read(plant: string, id: string): Promise<Buffer>;
}

/** Photos of a plant. `exists` throws `unknownPlant`. */
export function createPhotos(db: Db, now: () => Instant, exists: (plant: string) => Promise<unknown>): Photos {
  return {
    async keep(plant, said, bytes, by, letIn = null) {
      const id = idOf(said);
      if (id === null) throw new StationhandError('malformedPhoto', { what: 'The id of the photo is not a UUID of version 7.', where: 'the address' });
      if (letIn && !covers(letIn, stampOf(id))) throw new StationhandError('noRight', { what: 'This device was not paired when the photo was taken.', where: 'the photo' });
      await exists(plant);
      const size = bytes.length <= PHOTO_BYTES ? jpegSize(bytes) : null;
      if (!size) throw new StationhandError('malformedPhoto');
      if (Math.max(size.width, size.height) > PHOTO_SIDE) throw new StationhandError('malformedPhoto', { what: `The photo is ${size.width} by ${size.height} pixels; ${PHOTO_SIDE} are the most.` });
      const { who, device } = by;
      const fresh = await insertPhoto(db, plant, { id, who, device, received: new Date(now()).toISOString(), ...size, bytes });
      if (!fresh && !(await readPhoto(db, plant, id))?.equals(bytes)) throw new StationhandError('malformedPhoto', { what: 'Another photo already has this id.', where: 'the address' });
      return { id };
    },
    async read(plant, said) {
      const id = idOf(said);
      await exists(plant);
      const bytes = id === null ? null : await readPhoto(db, plant, id);
      if (!bytes) throw new StationhandError('unknownPhoto');
      return bytes;
    },
  };
}

function idOf(said: string): string | null {
  const parsed = uuidV7.safeParse(said);
  return parsed.success ? parsed.data : null;
}
