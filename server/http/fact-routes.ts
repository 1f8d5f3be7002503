import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { StationhandError } from '../contract/errors.ts';
import { pinsSchema } from '../contract/access.ts';
import { BATCH_LIMIT } from '../contract/replies.ts';
import { callerOf } from './caller-of.ts';

type InPlant = { Params: { plant: string } };

/** Facts in, and what the screens draw from out. */
export function factRoutes(app: FastifyInstance, actions: Actions): void {
  app.post<InPlant>('/api/plants/:plant/facts', (request) => actions.stateFacts(callerOf(request), request.params.plant, { facts: factsIn(request.body), pins: pinsIn(request.body) }));
  app.get<InPlant>('/api/plants/:plant/snapshot', ({ params }) => actions.snapshot(params.plant));
}

function factsIn(body: unknown): readonly unknown[] {
  const facts: unknown = typeof body === 'object' && body !== null && 'facts' in body ? body.facts : undefined;
  if (!Array.isArray(facts)) throw new StationhandError('malformedBody', { what: 'The body is not of the form {"facts": [...]}.', where: 'facts' });
  if (facts.length > BATCH_LIMIT) throw new StationhandError('batchTooLarge', { what: `The batch holds ${facts.length} facts; ${BATCH_LIMIT} are the most.` });
  return facts;
}

function pinsIn(body: unknown): Record<string, string> {
  const pins = pinsSchema.safeParse((body as { pins?: unknown }).pins);
  if (!pins.success) throw new StationhandError('malformedBody', { what: 'pins is not of the form {"fact": "PIN"}, or holds too many.', where: 'pins' });
  return pins.data;
}
