import type { FastifyInstance, FastifyRequest, RouteOptions } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { type Caller, holdersOf, isLetIn } from '../actions/access/caller.ts';
import { StationhandError } from '../contract/errors.ts';
import { DEVICE_COOKIE, DEVICE_HEADER, SESSION_COOKIE } from '../contract/identity.ts';
import { rightOfRoute } from '../core/access/rights.ts';
import { refuseNoText } from './refuse-no-text.ts';

/** What a kiosk may still hand in once it was revoked. */
const HANDED_IN = ['POST /api/plants/:plant/facts', 'PUT /api/plants/:plant/photos/:photo'];
const SAFE = ['GET', 'HEAD'];

/**
 * Holds every request under /api against the table of rights before its body is read. A route that is not in the table stops the program from
 * starting. Of a plant in which the caller has no right at all it is not said that there is one.
 */
export function guardRoutes(app: FastifyInstance, actions: Actions): void {
  app.decorateRequest('caller', null);
  app.addHook('onRoute', (route: RouteOptions) => {
    for (const method of [route.method].flat()) {
      if (route.url.startsWith('/api/') && method !== 'HEAD' && !rightOfRoute(`${method} ${route.url}`)) throw new Error(`${method} ${route.url} has no row in server/core/access/rights.ts.`);
    }
  });
  app.addHook('onRequest', async (request) => {
    if (!request.url.startsWith('/api/')) return;
    refuseNoText(request.params);
    refuseOtherSite(request);
    const header = request.headers[DEVICE_HEADER];
    const tokens = { session: request.cookies[SESSION_COOKIE], device: typeof header === 'string' ? header : request.cookies[DEVICE_COOKIE] };
    request.caller = await actions.access.caller(tokens, request.ip);
    const method = request.method === 'HEAD' ? 'GET' : request.method;
    mayAsk(request.caller, `${method} ${request.routeOptions.url ?? ''}`, (request.params as { plant?: string }).plant ?? null, actions.now());
  });
}

/** Throws when `caller` may not use the route `name` of `plant`. */
export function mayAsk(caller: Caller, name: string, plant: string | null, now: number): void {
  const right = rightOfRoute(name);
  if (right === 'anyone') return;
  // What a kiosk stated before it was revoked still counts, with its photos: it may hand that in, and nothing else.
  const handsIn = HANDED_IN.includes(name) && (name === HANDED_IN[0] || !isLetIn(caller.device)) && caller.device !== null && caller.device.plant === plant;
  if (!caller.session && !isLetIn(caller.device) && !handsIn) throw new StationhandError('noIdentity');
  if (!caller.session && isLetIn(caller.device) && caller.device.plant === null) throw new StationhandError('noIdentity');
  if (right === 'signedIn' || right === null || plant === null || handsIn) return;
  const holders = holdersOf(caller, plant, now);
  if (holders.length === 0) throw new StationhandError('unknownPlant');
  if (!right.some((holder) => holders.includes(holder))) throw new StationhandError('noRight', { what: 'This takes a right that you do not have here.', where: name });
}

/** A page of another site may neither change anything nor have a browser's cookies do it (ASVS 4.0, 4.2.2, 13.2.3). Throws `wrongOrigin`. */
function refuseOtherSite(request: FastifyRequest): void {
  if (SAFE.includes(request.method)) return;
  const site = request.headers['sec-fetch-site'];
  if (!isOwnOrigin(request.headers.origin, request.headers.host) || (site !== undefined && site !== 'same-origin' && site !== 'none')) throw new StationhandError('wrongOrigin');
}

/** Whether a page at `origin` is one of this program's, reached as `host`; a caller that is no page gives no origin. */
export function isOwnOrigin(origin: string | undefined, host: string | undefined): boolean {
  if (origin === undefined) return true;
  return URL.canParse(origin) && new URL(origin).host === host;
}
