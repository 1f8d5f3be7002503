import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { StationhandError } from '../contract/errors.ts';
import { localDate } from '../contract/shapes.ts';

type OfLine = { Params: { plant: string; line: string }; Querystring: Record<string, unknown> };

/** Whose minutes they were: line delay of the shift that runs, and of the shifts of a period. */
export function delayRoutes(app: FastifyInstance, actions: Actions): void {
  app.get<OfLine>('/api/plants/:plant/lines/:line/delay', async ({ params }, reply) => {
    const told = await actions.lineDelayNow(params.plant, params.line);
    return told ?? reply.status(204).send();
  });
  app.get<OfLine>('/api/plants/:plant/lines/:line/delay/shifts', ({ params, query }) =>
    actions.lineDelayOfDays(params.plant, params.line, dayIn(query, 'from'), dayIn(query, 'to')));
}

function dayIn(query: Record<string, unknown>, name: string): string {
  const parsed = localDate.safeParse(query[name]);
  if (parsed.success) return parsed.data;
  throw new StationhandError('malformedQuery', { what: `${name} is not a day such as 2026-11-30.`, where: name });
}
