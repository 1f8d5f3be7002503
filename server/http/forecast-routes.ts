import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';

type InPlant = { Params: { plant: string } };

/** When units will be ready to ship. */
export function forecastRoutes(app: FastifyInstance, actions: Actions): void {
  app.get<InPlant>('/api/plants/:plant/forecast', ({ params }) => actions.forecast(params.plant));
}
