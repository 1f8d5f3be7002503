import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';

type Query = { Querystring: Record<string, unknown> };
type OfUnit = Query & { Params: { plant: string; unit: string } };

const PAGE = 'text/html; charset=utf-8';
/** Pages hold text of the floor: whatever it says, nothing in them runs or is fetched. */
const ALONE = "default-src 'none'; img-src data:; style-src 'unsafe-inline'";

/** Paper: pages to print, in the language that `language` says (en, es). */
export function paperRoutes(app: FastifyInstance, actions: Actions): void {
  for (const paper of ['traveler', 'tags', 'labels'] as const) {
    app.get<OfUnit>(`/api/plants/:plant/units/:unit/${paper}`, ({ params, query }, reply) => {
      void reply.type(PAGE).header('content-security-policy', ALONE);
      return actions.printUnitPaper(params.plant, paper, params.unit, languageOf(query));
    });
  }
  app.get<Query & { Params: { plant: string } }>('/api/plants/:plant/placards', ({ params, query }, reply) => {
    void reply.type(PAGE).header('content-security-policy', ALONE);
    return actions.printPlacards(params.plant, languageOf(query));
  });
}

const languageOf = (query: Record<string, unknown>): 'en' | 'es' => (query['language'] === 'es' ? 'es' : 'en');
