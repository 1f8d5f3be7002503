import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { StationhandError } from '../contract/errors.ts';
import { plantJsonSchema } from '../contract/plant.ts';
import { instant } from '../contract/shapes.ts';
import { plantsOf } from '../actions/access/caller.ts';
import { callerOf, identityOf } from './caller-of.ts';

type InPlant = { Params: { plant: string } };

/** Plants and their set-up. */
export function plantRoutes(app: FastifyInstance, actions: Actions): void {
  const schema = plantJsonSchema();
  app.get('/api/schemas/plant.json', () => schema);
  app.get('/api/plants', async (request) => {
    const seen = plantsOf(callerOf(request));
    return (await actions.plants()).filter(({ code }) => seen === null || seen.has(code));
  });
  app.get<InPlant>('/api/plants/:plant/setup', ({ params }) => actions.setup(params.plant));
  app.get<InPlant>('/api/plants/:plant/kiosks', async ({ params }) => {
    await actions.setup(params.plant);
    return { kiosks: actions.devices.of(params.plant) };
  });
  app.put<InPlant & { Querystring: Record<string, unknown> }>('/api/plants/:plant/setup', async (request) => {
    const { body, params, query } = request;
    const code: unknown = typeof body === 'object' && body !== null && 'code' in body ? body.code : undefined;
    if (typeof code === 'string' && code !== params.plant) {
      throw new StationhandError('malformedPlant', { what: `The document is of plant ${code}, the address of ${params.plant}.`, where: 'code' });
    }
    const reply = await actions.loadPlant(body, validFromOf(query['validFrom'], actions), identityOf(request));
    await actions.access.note(callerOf(request), params.plant, 'setupLoaded', { ...reply });
    return reply;
  });
}

/** Since when the set-up holds: now, unless the address says otherwise. */
function validFromOf(value: unknown, actions: Actions): number {
  if (value === undefined) return actions.now();
  const parsed = instant.safeParse(value);
  if (parsed.success) return parsed.data;
  throw new StationhandError('malformedQuery', { what: 'validFrom is not an instant such as 2026-11-30T06:00:00Z.', where: 'validFrom' });
}
