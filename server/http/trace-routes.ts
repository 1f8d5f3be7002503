import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { identityOf } from './caller-of.ts';

type InPlant = { Params: { plant: string }; Querystring: Record<string, unknown> };
type OfCampaign = { Params: { plant: string; campaign: string } };

/** Which units have what, and campaigns over them. */
export function traceRoutes(app: FastifyInstance, { quality }: Actions): void {
  const asFile = (reply: FastifyReply, name: string): unknown => reply.type('text/csv; charset=utf-8').header('content-disposition', `attachment; filename="${name}.csv"`);
  app.get<InPlant>('/api/plants/:plant/which-units', ({ params, query }) => quality.whichUnits(params.plant, query));
  app.get<InPlant>('/api/plants/:plant/which-units.csv', async ({ params, query }, reply) => {
    const text = tableCsv(await quality.whichUnitsTable(params.plant, query));
    void asFile(reply, 'which-units');
    return text;
  });
  app.get<InPlant>('/api/plants/:plant/campaigns', async ({ params }) => ({ campaigns: await quality.campaigns(params.plant) }));
  app.post<InPlant>('/api/plants/:plant/campaigns', (request) => quality.openCampaign(request.params.plant, request.body, identityOf(request)));
  app.get<OfCampaign>('/api/plants/:plant/campaigns/:campaign/units.csv', async ({ params }, reply) => {
    const text = tableCsv(await quality.campaignTable(params.plant, params.campaign));
    void asFile(reply, 'campaign');
    return text;
  });
}
