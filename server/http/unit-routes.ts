import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { StationhandError } from '../contract/errors.ts';
import { IMPORT_MODES, type ImportMode } from '../contract/replies.ts';
import { UNIT_COLUMNS } from '../contract/units-csv.ts';
import { callerOf, identityOf } from './caller-of.ts';

type Query = Record<string, unknown>;
type InPlant = { Params: { plant: string }; Querystring: Query };
type OfUnit = { Params: { plant: string; unit: string } };

const CSV = 'text/csv; charset=utf-8';

/** Units: their story, import and release. */
export function unitRoutes(app: FastifyInstance, actions: Actions): void {
  app.get<InPlant>('/api/plants/:plant/units/template.csv', async ({ params }, reply) => {
    await actions.setup(params.plant);
    void reply.type(CSV).header('content-disposition', 'attachment; filename="units-template.csv"');
    return `${UNIT_COLUMNS.join(',')}\r\n`;
  });
  app.post<InPlant>('/api/plants/:plant/units/import', async (request) => {
    const { body, params, query } = request;
    if (typeof body !== 'string') throw new StationhandError('wrongMediaType');
    const reply = await actions.importUnits(params.plant, body, modeIn(query), identityOf(request));
    if (reply.imported > 0) await actions.access.note(callerOf(request), params.plant, 'unitsImported', { imported: reply.imported });
    return reply;
  });
  app.get<OfUnit>('/api/plants/:plant/units/:unit', ({ params }) => actions.unitStory(params.plant, params.unit));
  app.post<OfUnit>('/api/plants/:plant/units/:unit/release', async (request) => {
    const { plant, unit } = request.params;
    const reply = await actions.releaseUnit(plant, unit, identityOf(request));
    await actions.access.note(callerOf(request), plant, 'unitReleased', { unit });
    return reply;
  });
  app.get<OfUnit>('/api/plants/:plant/units/:unit/offered-vin', ({ params }) => actions.offeredVin(params.plant, params.unit));
}

function modeIn(query: Query): ImportMode {
  const mode = IMPORT_MODES.find((known) => known === query['mode']);
  if (!mode) throw new StationhandError('malformedQuery', { what: `mode is none of ${IMPORT_MODES.join(', ')}.`, where: 'mode' });
  return mode;
}
