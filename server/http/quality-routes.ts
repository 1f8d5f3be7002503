import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { identityOf } from './identity-of.ts';

type OfItem = { Params: { plant: string; check: string; item: string } };

/** What quality asks for and commands, besides the facts of the floor. */
export function qualityRoutes(app: FastifyInstance, { quality }: Actions): void {
  app.post<OfItem>('/api/plants/:plant/checks/:check/items/:item/confirm', (request) => {
    const { plant, check, item } = request.params;
    return quality.confirmLimits(plant, check, item, said(request.body, 'edition'), identityOf(request));
  });
}

/** The entry of a JSON body, undefined where there is none. */
function said(body: unknown, entry: string): unknown {
  return typeof body === 'object' && body !== null && Object.hasOwn(body, entry) ? (body as Record<string, unknown>)[entry] : undefined;
}
