import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';

type InPlant = { Params: { plant: string } };
type OfUnit = { Params: { plant: string; unit: string } };

/** When units will be ready to ship, what another plan would change, and how good the forecasts were. */
export function forecastRoutes(app: FastifyInstance, actions: Actions): void {
  app.get<InPlant>('/api/plants/:plant/forecast', ({ params }) => actions.forecast(params.plant));
  app.post<InPlant>('/api/plants/:plant/plans', ({ params, body }) => actions.comparePlans(params.plant, body));
  app.get<OfUnit>('/api/plants/:plant/units/:unit/ways-back', ({ params }) => actions.waysBack(params.plant, params.unit));
  app.get<InPlant>('/api/plants/:plant/trust', ({ params }) => actions.trust(params.plant));
}
