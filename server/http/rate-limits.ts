import rateLimit from '@fastify/rate-limit';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { StationhandError } from '../contract/errors.ts';
import { DEVICE_COOKIE, DEVICE_HEADER } from '../contract/identity.ts';
import { hashOf } from '../actions/access/secrets.ts';

/** A kiosk asks a few times a minute, a screen that is worked at some hundred times. */
export const REQUESTS_A_MINUTE = 1_200;
/** Whoever has no token: signing in, pairing, asking who it is. */
const REQUESTS_WITHOUT_TOKEN = 600;
/** Tries to sign in, pair or use a link, from one address. */
export const TRIES_A_MINUTE = 30;

/** Requests a minute by device, or by address for who has no token. At the limit: `tooManyRequests`, and when to ask again. */
export async function rateLimits(app: FastifyInstance, most: number): Promise<void> {
  await app.register(rateLimit, {
    global: true, timeWindow: 60_000, cache: 10_000,
    max: (request: FastifyRequest) => (request.caller?.device ? most : REQUESTS_WITHOUT_TOKEN),
    hook: 'preParsing',
    // The page's files cost nothing, and behind one address a whole plant may open its kiosks in the same minute.
    allowList: (request: FastifyRequest) => !request.url.startsWith('/api/') && request.url !== '/health',
    keyGenerator: (request: FastifyRequest) => (request.caller?.device ? `device ${hashOf(tokenOf(request)).toString('base64')}` : `address ${request.ip}`),
    errorResponseBuilder: (_request, { after }) => new StationhandError('tooManyRequests', { whatToDo: `Ask again in ${after}; a kiosk does so by itself and keeps everything until then.` }),
  });
}

function tokenOf(request: FastifyRequest): string {
  const header = request.headers[DEVICE_HEADER];
  return (typeof header === 'string' ? header : request.cookies[DEVICE_COOKIE]) ?? '';
}

/** What a route at which secrets are tried is registered with. */
export const TRIED = { rateLimit: { max: TRIES_A_MINUTE, timeWindow: 60_000, keyGenerator: (request: FastifyRequest) => `tries ${request.ip}` } };
