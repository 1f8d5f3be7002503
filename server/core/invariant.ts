/** Thrown when the program contradicts itself: a programmer's fault, never the floor's. */
export class InvariantError extends Error {}

/** Stops with `message` when `condition` does not hold. For what cannot be unless the code is wrong. */
export function invariant(condition: unknown, message: string): asserts condition {
  if (!condition) throw new InvariantError(message);
}
