import { z } from 'zod';
import type { Instant } from '../core/units.ts';

const EARLIEST = Date.parse('2000-01-01T00:00:00Z');
const LATEST = Date.parse('2100-01-01T00:00:00Z');

/** A code, serial or name: 1 to 100 characters without space around them. */
export const name = z.string().trim().min(1).max(100);

/** Free text of up to 500 characters; may be empty. */
export const text = z.string().trim().max(500);

/** An instant on the wire, ISO 8601 with an offset or Z, from 2000 until 2100; inside, epoch milliseconds. */
export const instant = z.iso.datetime({ offset: true }).transform((value, context): Instant => {
  const t = Date.parse(value);
  if (t >= EARLIEST && t < LATEST) return t;
  context.addIssue({ code: 'custom', message: 'must lie between the years 2000 and 2100' });
  return z.NEVER;
});

export const localDate = z.iso.date();

export const uuidV7 = z.uuidv7('must be a UUID of version 7');
