import { StationhandError } from '../contract/errors.ts';

/** Throws `malformedQuery` for a part of the address that no database can keep as text: a zero character, half of a surrogate pair. */
export function refuseNoText(params: unknown): void {
  if (typeof params !== 'object' || params === null) return;
  for (const [name, value] of Object.entries(params)) {
    if (typeof value === 'string' && /\u0000|\p{Surrogate}/u.test(value)) throw new StationhandError('malformedQuery', { what: `The ${name} in the address is no text.`, where: name });
  }
}
