import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { holdersOf } from '../actions/access/caller.ts';
import { StationhandError } from '../contract/errors.ts';
import { FACT_RIGHTS } from '../core/access/rights.ts';
import { callerOf, identityOf } from './caller-of.ts';

type InPlant = { Params: { plant: string } };
type OfUnit = { Params: { plant: string; unit: string } };
type OfItem = { Params: { plant: string; check: string; item: string } };

/** What quality asks for and commands, besides the facts of the floor. */
export function qualityRoutes(app: FastifyInstance, { quality, now }: Actions): void {
  app.post<OfItem>('/api/plants/:plant/checks/:check/items/:item/confirm', (request) => {
    const { plant, check, item } = request.params;
    return quality.confirmLimits(plant, check, item, said(request.body, 'edition'), identityOf(request));
  });
  app.post<OfUnit>('/api/plants/:plant/units/:unit/labels/confirm', (request) => {
    const { body, params: { plant, unit } } = request;
    return quality.confirmFigures(plant, { unit, edition: said(body, 'edition'), figures: said(body, 'figures') }, identityOf(request));
  });
  app.post<OfUnit>('/api/plants/:plant/units/:unit/revoke-release', (request) => {
    const { plant, unit } = request.params;
    return quality.revokeRelease(plant, unit, said(request.body, 'reason'), identityOf(request));
  });
  app.post<InPlant>('/api/plants/:plant/ship', (request) => {
    const { body, params } = request;
    const holders = holdersOf(callerOf(request), params.plant, now());
    const mayOverride = FACT_RIGHTS.overrideGate.roles.some((role) => holders.includes(role));
    if (said(body, 'override') !== undefined && !mayOverride) throw new StationhandError('noRight', { what: 'Shipping what is not released is for who may override a gate.', where: 'override' });
    return quality.ship(params.plant, { units: said(body, 'units'), carrier: said(body, 'carrier'), override: said(body, 'override') }, identityOf(request));
  });
  app.get<InPlant>('/api/plants/:plant/common-findings', ({ params }) => quality.commonFindings(params.plant));
  app.get<InPlant>('/api/plants/:plant/ship-list.csv', async ({ params }, reply) => {
    const text = tableCsv(await quality.shipList(params.plant));
    void reply.type('text/csv; charset=utf-8').header('content-disposition', 'attachment; filename="ship-list.csv"');
    return text;
  });
}

/** The entry of a JSON body, undefined where there is none. */
function said(body: unknown, entry: string): unknown {
  return typeof body === 'object' && body !== null && Object.hasOwn(body, entry) ? (body as Record<string, unknown>)[entry] : undefined;
}
