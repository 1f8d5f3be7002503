/** Classes of PostgreSQL's error codes that say the server cannot take work now: connection, resources, operator intervention, system. */
const AWAY = /^(08|53|57|58)/;
const NETWORK = new Set(['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOENT', 'ENOTFOUND', 'EHOSTUNREACH']);

/** Tells whether a query failed because the database does not answer, not because of what was asked. */
export function isDatabaseAway(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const code = (error as { code?: unknown }).code;
  if (typeof code === 'string' && (AWAY.test(code) || NETWORK.has(code))) return true;
  return /Connection terminated|timeout exceeded when trying to connect|Client has encountered a connection error|connection error and is not queryable|driver has already been destroyed/i.test(error.message);
}

const UNIQUE_VIOLATION = '23505';

/** Tells whether a statement failed because a row has a key that is taken. */
export function isTaken(error: unknown): boolean {
  return error instanceof Error && (error as { code?: unknown }).code === UNIQUE_VIOLATION;
}
