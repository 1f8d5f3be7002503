import rateLimit from '@fastify/rate-limit';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { StationhandError } from '../contract/errors.ts';

/** A kiosk asks a few times a minute, a screen that is worked at some hundred times. */
export const REQUESTS_A_MINUTE = 1_200;
/** Whoever has no token: signing in and pairing. */
const REQUESTS_WITHOUT_TOKEN = 600;
/** Tries to sign in, pair or use a link, from one address. */
export const TRIES_A_MINUTE = 30;

/** Requests a minute under /api, and for health, by device, or by address for who has no token. At the limit: `tooManyRequests`, and when to ask again. */
export async function rateLimits(app: FastifyInstance, most: number): Promise<void> {
  await app.register(rateLimit, {
    global: true, timeWindow: 60_000, cache: 10_000,
    // A whole shift's kiosks may load the page at once, from one address.
    allowList: ({ url }: FastifyRequest) => !url.startsWith('/api/') && url !== '/health',
    max: (request: FastifyRequest) => (request.caller?.device ? most : REQUESTS_WITHOUT_TOKEN),
    hook: 'preParsing',
    keyGenerator: askerOf,
    errorResponseBuilder: (_request, { after }) => new StationhandError('tooManyRequests', { whatToDo: `Ask again in ${after}; a kiosk does so by itself and keeps everything until then.` }),
  });
}

function askerOf(request: FastifyRequest): string {
  return request.caller?.device ? `device ${request.caller.device.id}` : `address ${request.ip}`;
}

/** What a route at which secrets are tried is registered with. A device that was let in is counted by itself: nobody else at its address can keep it out. */
export const TRIED = { rateLimit: { max: TRIES_A_MINUTE, timeWindow: 60_000, keyGenerator: (request: FastifyRequest) => `tries ${askerOf(request)}` } };
