import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ROUTE_RIGHTS } from '../../server/core/access/rights.ts';
import { type Asker, ASKERS, type FuzzedHouse, fuzzedHouse } from '../support/fuzz/fuzzed-house.ts';
import { faultOfRefusal } from '../support/fuzz/refusal.ts';
import { requestsTo } from '../support/fuzz/addresses.ts';
import { DEVICE, type Hostile, type HttpRoute, routesOf, WHO } from '../support/fuzz/requests.ts';

/** Requests a route, each made by everybody. */
const RUNS = Number(process.env['FUZZ_RUNS'] ?? 3);
const SEED = Number(process.env['FUZZ_SEED'] ?? 20_261_126);
/** A request that takes longer hangs. */
const HANGS_MS = 20_000;

const ROUTES = Object.keys(ROUTE_RIGHTS).filter((name): name is HttpRoute => !name.startsWith('SOCKET'));
/** A password is looked at slowly on purpose. */
const SLOW: readonly HttpRoute[] = ['POST /api/sign-in', 'POST /api/sign-out', 'POST /api/links', 'POST /api/plants/:plant/pin', 'POST /api/plants/:plant/people', 'PUT /api/plants/:plant/people/:person'];
/** After these a person may be signed in no more, or as another, or sits at what has become a kiosk. */
const SIGNS: readonly HttpRoute[] = ['POST /api/sign-in', 'POST /api/sign-out', 'POST /api/pair'];
/** Changes nothing, whatever it answers. */
const TELLS: readonly HttpRoute[] = ['POST /api/plants/:plant/plans'];

let fuzzed: FuzzedHouse;
beforeAll(async () => void (fuzzed = await fuzzedHouse()));
afterAll(() => fuzzed.close());

let sent = 0;

async function send({ method, url, headers, payload }: Hostile, asker: Asker): Promise<{ status: number; body: string; type: string }> {
  const by = fuzzed.who(asker);
  const own = typeof payload === 'string' ? payload.replaceAll(DEVICE, by?.device ?? 'none').replaceAll(WHO, by?.badge ?? 'none') : payload;
  // Whoever has no token is counted by address: each request comes from another.
  const remoteAddress = `11.${(sent >> 16) & 255}.${(sent >> 8) & 255}.${sent++ & 255}`;
  const answer = fuzzed.house.app.fastify.inject({ method, url, headers: { ...by?.headers, ...headers }, remoteAddress, ...(own === undefined ? {} : { payload: own }) });
  let timer: NodeJS.Timeout | undefined;
  const hang = new Promise<never>((_, reject) => void (timer = setTimeout(() => reject(new Error(`no answer within ${HANGS_MS} ms`)), HANGS_MS)));
  const reply = await Promise.race([answer, hang]).finally(() => clearTimeout(timer));
  return { status: reply.statusCode, body: reply.body, type: String(reply.headers['content-type'] ?? '') };
}

/** Whether the answer says that nothing was taken: a refusal, a batch of which every fact was refused, a file of which nothing was imported. */
function tookNothing(name: HttpRoute, status: number, body: string): boolean {
  if (status >= 400 || name.startsWith('GET') || TELLS.includes(name)) return true;
  if (name.endsWith('/facts')) return (JSON.parse(body) as { replies: { outcome: string }[] }).replies.every(({ outcome }) => outcome === 'refused' || outcome === 'repeated');
  return name.endsWith('/import') && (JSON.parse(body) as { imported: number }).imported === 0;
}

describe('whatever is sent, by whomever', () => {
  it('has a generator for every route of the table, and no other', () => {
    expect(Object.keys(routesOf(fuzzed.known)).toSorted()).toEqual(ROUTES.toSorted());
  });

  it.each(ROUTES)('%s answers, refuses in the closed form, and changes nothing when it refuses', { timeout: 60_000 + RUNS * 10_000 }, async (name) => {
    const numRuns = SLOW.includes(name) ? Math.ceil(RUNS / 2) : RUNS;
    const begun = await fuzzed.state.read();
    await fc.assert(fc.asyncProperty(requestsTo(name, fuzzed.known), async (request) => {
      let before = name.startsWith('GET') ? begun : await fuzzed.state.read();
      for (const asker of ASKERS) {
        const { status, body, type } = await send(request, asker);
        expect(fuzzed.logged(), `what ${asker} sent made the program fail`).toEqual([]);
        expect(status, `${asker} is answered ${body}`).toBeLessThan(500);
        if (status >= 400) expect(`${type} ${faultOfRefusal(JSON.parse(body))}`, `${asker} is answered ${status} ${body}`).toBe('application/json; charset=utf-8 null');
        if (status < 400 && SIGNS.includes(name)) await fuzzed.renew(asker);
        if (name.startsWith('GET')) continue;
        const after = await fuzzed.state.read();
        if (tookNothing(name, status, body)) expect(after, `${asker} was refused with ${status} ${body}`).toEqual(before);
        before = after;
      }
    }), { numRuns, seed: SEED });
    if (name.startsWith('GET')) expect(await fuzzed.state.read()).toEqual(begun);
  });
});
