import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { latePdf } from '../actions/late-pdf.ts';
import { tableXlsx } from '../actions/table-xlsx.ts';
import { StationhandError } from '../contract/errors.ts';
import type { ForecastReply } from '../contract/forecast.ts';
import { lateCsv } from '../contract/late-csv.ts';
import { readLateQuery } from '../contract/late-query.ts';
import { type LateQuery, lateReport, type LateUnits } from '../contract/late-report.ts';
import { lateUnitsTable } from '../contract/late-units-table.ts';
import type { Snapshot } from '../contract/snapshot.ts';

type Query = Record<string, unknown>;
type InPlant = { Params: { plant: string }; Querystring: Query };

const CSV = 'text/csv; charset=utf-8';
const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** The late-unit report: as JSON, as files for a spreadsheet, and on paper. */
export function lateRoutes(app: FastifyInstance, actions: Actions): void {
  const told = async (plant: string, query: Query): Promise<{ snapshot: Snapshot; forecast: ForecastReply; groups: LateUnits[] }> => {
    const [snapshot, forecast] = await Promise.all([actions.snapshot(plant), actions.forecast(plant)]);
    return { snapshot, forecast, groups: lateReport(snapshot, lateQueryIn(query), snapshot.at, forecast) };
  };
  app.get<InPlant>('/api/plants/:plant/late', async ({ params, query }) => {
    const { snapshot, forecast, groups } = await told(params.plant, query);
    return { at: snapshot.at, version: snapshot.version, forecast: forecast.made, units: groups.flatMap(({ units }) => units) };
  });
  app.get<InPlant>('/api/plants/:plant/late.csv', async ({ params, query }, reply) => {
    const { snapshot, groups } = await told(params.plant, query);
    void reply.type(CSV).header('content-disposition', 'attachment; filename="late-units.csv"');
    return lateCsv(groups, snapshot.plant.timeZone);
  });
  app.get<InPlant>('/api/plants/:plant/late.xlsx', async ({ params, query }, reply) => {
    const { snapshot, groups } = await told(params.plant, query);
    void reply.type(XLSX).header('content-disposition', 'attachment; filename="late-units.xlsx"');
    return tableXlsx(lateUnitsTable(groups, snapshot.plant.timeZone));
  });
  app.get<InPlant>('/api/plants/:plant/late.pdf', async ({ params, query }, reply) => {
    const { snapshot, forecast, groups } = await told(params.plant, query);
    void reply.type('application/pdf').header('content-disposition', 'attachment; filename="late-units.pdf"');
    const { name, timeZone } = snapshot.plant;
    return latePdf(groups, { plant: name, timeZone, at: snapshot.at, made: forecast.units.length > 0 ? forecast.made : null, language: query['language'] === 'es' ? 'es' : 'en' });
  });
}

function lateQueryIn(query: Query): LateQuery {
  const said: Record<string, string> = {};
  for (const [key, value] of Object.entries(query)) {
    if (typeof value !== 'string') throw new StationhandError('malformedQuery', { what: `${key} is given more than once.`, where: key });
    said[key] = value;
  }
  const { query: asked, wrong } = readLateQuery(said);
  const where = wrong[0];
  if (where !== undefined) throw new StationhandError('malformedQuery', { what: `${where} has a value that is not known.`, where });
  return asked;
}
