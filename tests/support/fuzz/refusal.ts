import { ERRORS } from '../../../server/contract/errors.ts';

/** What is wrong with `body` as the answer of a refusal (`server/contract/errors.ts`), null when nothing is. */
export function faultOfRefusal(body: unknown): string | null {
  const error: unknown = typeof body === 'object' && body !== null && Object.keys(body).join() === 'error' ? (body as { error: unknown }).error : null;
  if (typeof error !== 'object' || error === null) return 'is no {"error": …}';
  const entries = error as Record<string, unknown>;
  if (Object.keys(entries).toSorted().join() !== 'code,what,whatToDo,where') return `has the entries ${Object.keys(entries).join()}`;
  if (!Object.hasOwn(ERRORS, String(entries['code']))) return `has a code that is not in the list: ${String(entries['code'])}`;
  const empty = Object.entries(entries).find(([, value]) => typeof value !== 'string' || value === '');
  return empty ? `says nothing in ${empty[0]}` : null;
}
