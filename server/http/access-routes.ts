import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { linkBody, pairBody, pairDemoBody, pairingCodeBody, personBody, pinBody, signInBody } from '../contract/access.ts';
import { StationhandError } from '../contract/errors.ts';
import { SESSION_COOKIE } from '../contract/identity.ts';
import { bodyOf } from './body-of.ts';
import { callerOf } from './caller-of.ts';
import { keepTokens } from './keep-tokens.ts';
import { TRIED } from './rate-limits.ts';

type InPlant = { Params: { plant: string } };

/** Signing in and out, pairing, and who this browser is. `demo`: the plant that a browser of this machine may pair with by a touch. */
export function accessRoutes(app: FastifyInstance, { access }: Actions, demo: () => string | null): void {
  const forDemo = (request: FastifyRequest): string | null => (isThisMachine(request) ? demo() : null);

  app.get('/api/me', async (request) => ({ ...(await access.me(callerOf(request))), demo: forDemo(request) }));
  app.post('/api/sign-in', { config: TRIED }, async (request, reply) => {
    const tokens = await access.signIn(callerOf(request), bodyOf(signInBody, request));
    keepTokens(request, reply, tokens);
    return { code: tokens.code };
  });
  app.post<InPlant>('/api/plants/:plant/pin', { config: TRIED }, async (request, reply) => {
    const tokens = await access.signInByPin(callerOf(request), request.params.plant, bodyOf(pinBody, request));
    keepTokens(request, reply, tokens);
    return { code: tokens.code };
  });
  app.post('/api/sign-out', async (request, reply) => {
    await access.signOut(callerOf(request));
    return reply.clearCookie(SESSION_COOKIE, { path: '/' }).status(204).send();
  });
  app.post('/api/links', { config: TRIED }, (request) => access.chooseByLink(callerOf(request), bodyOf(linkBody, request)));
  app.post('/api/pair', { config: TRIED }, async (request, reply) => {
    const { code, token, plant } = await access.pair(callerOf(request), bodyOf(pairBody, request));
    keepTokens(request, reply, { device: token });
    return { code, plant };
  });
  app.post('/api/pair-demo', { config: TRIED }, async (request, reply) => {
    const wanted = bodyOf(pairDemoBody, request);
    const plant = forDemo(request);
    if (plant === null) throw new StationhandError('noRight', { what: 'Only a browser of the machine that runs the demo pairs by a touch.' });
    const { code, token } = await access.pairWithDemo(callerOf(request), plant, wanted.device);
    keepTokens(request, reply, { device: token });
    return { code, plant };
  });
}

/** What administrators and supervisors do with people and devices of a plant. */
export function peopleRoutes(app: FastifyInstance, { access }: Actions): void {
  const base = '/api/plants/:plant';
  type OfDevice = { Params: { plant: string; device: string } };
  type OfPerson = { Params: { plant: string; person: string } };
  app.get<InPlant>(`${base}/badges`, ({ params }) => access.badges(params.plant));
  app.get<InPlant>(`${base}/people`, (request) => access.people(callerOf(request), request.params.plant));
  app.post<InPlant>(`${base}/people`, (request) => access.addPerson(callerOf(request), request.params.plant, bodyOf(personBody, request)));
  app.put<OfPerson>(`${base}/people/:person`, async (request, reply) => {
    await access.changePerson(callerOf(request), request.params.plant, request.params.person, bodyOf(personBody, request));
    return reply.status(204).send();
  });
  app.post<OfPerson>(`${base}/people/:person/link`, (request) => access.linkFor(callerOf(request), request.params.plant, request.params.person));
  app.get<InPlant>(`${base}/devices`, ({ params }) => access.devices(params.plant));
  app.post<InPlant>(`${base}/devices/codes`, (request) => access.makePairingCode(callerOf(request), request.params.plant, bodyOf(pairingCodeBody, request)));
  app.post<OfDevice>(`${base}/devices/:device/code`, (request) => access.makePairAgainCode(callerOf(request), request.params.plant, uuidIn(request.params.device)));
  app.post<OfDevice>(`${base}/devices/:device/revoke`, async (request, reply) => {
    await access.revoke(callerOf(request), request.params.plant, uuidIn(request.params.device));
    return reply.status(204).send();
  });
  app.get<InPlant & { Querystring: Record<string, unknown> }>(`${base}/audit`, (request) => {
    const before = request.query['before'];
    if (before !== undefined && !/^\d{1,15}$/.test(String(before))) throw new StationhandError('malformedQuery', { what: 'before is no number of an entry.', where: 'before' });
    return access.audit(callerOf(request), request.params.plant, before === undefined ? null : Number(before));
  });
}

function uuidIn(said: string): string {
  if (/^[\da-f]{8}(-[\da-f]{4}){3}-[\da-f]{12}$/i.test(said)) return said;
  throw new StationhandError('unknownDevice');
}

/** Asked from this machine, by an address that is its own: a name of another site that points here is not. */
function isThisMachine(request: FastifyRequest): boolean {
  const name = (request.headers.host ?? '').replace(/:\d+$/, '');
  return ['127.0.0.1', '::1', '::ffff:127.0.0.1'].includes(request.ip) && ['localhost', '127.0.0.1', '[::1]'].includes(name) && request.headers['x-forwarded-for'] === undefined;
}
