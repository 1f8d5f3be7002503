import { z } from 'zod';
import type { Instant } from '../core/units.ts';

const EARLIEST = Date.parse('2000-01-01T00:00:00Z');
const LATEST = Date.parse('2100-01-01T00:00:00Z');

/** PostgreSQL keeps neither NUL nor half a surrogate pair; other control characters are misreads of a scanner. */
const UNKEEPABLE = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/;
const keepable = (value: string): boolean => !UNKEEPABLE.test(value);
const UNKEEPABLE_MESSAGE = 'must not hold control characters or broken characters';

/** A code, serial or name: 1 to 100 characters without space around them. */
export const name = z.string().trim().min(1).max(100).refine(keepable, UNKEEPABLE_MESSAGE);

/** Free text of up to 500 characters; may be empty. */
export const text = z.string().trim().max(500).refine(keepable, UNKEEPABLE_MESSAGE);

/** Text that has to say something: why, what. */
export const reason = z.string().trim().min(1).max(500).refine(keepable, UNKEEPABLE_MESSAGE);

/** An instant on the wire, ISO 8601 with an offset or Z, from 2000 until 2100; inside, epoch milliseconds. */
export const instant = z.iso.datetime({ offset: true }).transform((value, context): Instant => {
  const t = Date.parse(value);
  if (t >= EARLIEST && t < LATEST) return t;
  context.addIssue({ code: 'custom', message: 'must lie between the years 2000 and 2100' });
  return z.NEVER;
});

export const localDate = z.iso.date();

/** A fact's id, in lower case as the database gives it back. */
export const uuidV7 = z.uuidv7('must be a UUID of version 7').toLowerCase();
