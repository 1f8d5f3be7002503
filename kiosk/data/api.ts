import { NOW_HEADER } from '../../server/contract/clock.ts';
import type { ErrorReply } from '../../server/contract/errors.ts';
import type { FactReply } from '../../server/contract/replies.ts';
import type { ShiftSummaryReply } from '../../server/contract/shift-summary.ts';
import type { SummaryTable } from '../../server/contract/shift-summary-tables.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { noteServerClock } from './clock.ts';

/** What the server says when it does not do what was asked (`contract/errors.ts`), as a screen shows it. */
export class ApiError extends Error {
  constructor(readonly status: number, readonly code: string, readonly what: string, readonly whatToDo: string) {
    super(what);
  }
}

/** Told at the window when the server does not know this browser any more: signed out, or revoked. */
export const SIGNED_OUT = 'stationhand-signed-out';

/**
 * Asks the server. `path` starts with `/api`. A text or a blob goes as it is with `type`, anything else as JSON.
 * Throws `ApiError` with status 0 when there is no answer within `timeout` ms, else with what the server said.
 */
export async function ask(
  path: string,
  options: { method?: string; body?: unknown; type?: string; timeout?: number } = {},
): Promise<Response> {
  const { method = 'GET', body, type = 'application/json', timeout = 10_000 } = options;
  const headers: Record<string, string> = {};
  if (body !== undefined) headers['content-type'] = type;
  const sent = Date.now();
  let response: Response;
  try {
    response = await fetch(path, {
      method, headers, cache: 'no-store', signal: AbortSignal.timeout(timeout),
      ...(body === undefined ? {} : { body: type === 'application/json' ? JSON.stringify(body) : body instanceof Blob ? body : String(body) }),
    });
  } catch (error) {
    throw new ApiError(0, 'noAnswer', String(error), '');
  }
  const server = Number(response.headers.get(NOW_HEADER) ?? Number.NaN);
  if (Number.isFinite(server)) noteServerClock(sent, server);
  if (!response.ok) {
    const error = await errorOf(response);
    if (error.code === 'noIdentity') window.dispatchEvent(new Event(SIGNED_OUT));
    throw error;
  }
  return response;
}

export async function askJson<T>(path: string, options: Parameters<typeof ask>[1] = {}): Promise<T> {
  const response = await ask(path, options);
  return (await response.json()) as T;
}

export interface PlantListed {
  code: string;
  name: string;
}

export async function fetchPlants(): Promise<PlantListed[]> {
  const reply = await askJson<PlantListed[] | { plants: PlantListed[] }>('/api/plants');
  return Array.isArray(reply) ? reply : reply.plants;
}

export function fetchSnapshot(plant: string): Promise<Snapshot> {
  return askJson<Snapshot>(`/api/plants/${encodeURIComponent(plant)}/snapshot`);
}

/** Asks for nothing but the server's clock, which every answer carries. */
export async function askClock(): Promise<void> {
  await ask('/api/clock');
}

/** A shift of a line on one page; '' as date or shift leaves it to the server. */
export function fetchSummary(plant: string, line: string, date: string, shift: string): Promise<ShiftSummaryReply> {
  return askJson<ShiftSummaryReply>(`${summaryPath(plant, line)}?${shiftQuery(date, shift)}`);
}

/** One table of it as a file. */
export async function fetchSummaryFile(plant: string, line: string, date: string, shift: string, table: SummaryTable, type: 'csv' | 'xlsx'): Promise<Blob> {
  return (await ask(`${summaryPath(plant, line)}.${type}?${shiftQuery(date, shift)}&table=${table}`)).blob();
}

function summaryPath(plant: string, line: string): string {
  return `/api/plants/${encodeURIComponent(plant)}/lines/${encodeURIComponent(line)}/summary`;
}

/** What stands after the `?`: what is '' is left out. */
export function shiftQuery(date: string, shift: string): string {
  return new URLSearchParams(Object.entries({ date, shift }).filter(([, value]) => value !== '')).toString();
}

/** `pins`: as `pinsSchema` of the contract. */
export function postFacts(plant: string, facts: unknown[], pins: Record<string, string> = {}): Promise<{ replies: FactReply[]; version: number }> {
  return askJson(`/api/plants/${encodeURIComponent(plant)}/facts`, { method: 'POST', body: { facts, ...(Object.keys(pins).length > 0 ? { pins } : {}) } });
}

async function errorOf(response: Response): Promise<ApiError> {
  const text = await response.text();
  try {
    const { error } = JSON.parse(text) as ErrorReply;
    return new ApiError(response.status, error.code, error.what, error.whatToDo);
  } catch {
    return new ApiError(response.status, 'other', `${response.status} ${response.statusText}`, '');
  }
}
