import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { tableXlsx } from '../actions/table-xlsx.ts';
import { readDwellQuery, readVisitsQuery } from '../contract/dwell-query.ts';
import { StationhandError } from '../contract/errors.ts';
import { readMarksQuery } from '../contract/marks-query.ts';
import { readPeriod, type Said } from '../contract/period-query.ts';
import type { Table } from '../core/tables/table.ts';

type OfLine = { Params: { plant: string; line: string }; Querystring: Record<string, unknown> };

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** Reports over the visits and scans of a line, on the screen and as files. */
export function reportRoutes(app: FastifyInstance, actions: Actions): void {
  const { reports } = actions;
  const base = '/api/plants/:plant/lines/:line';
  const table = <Q>(path: string, read: (query: Record<string, unknown>) => Q, make: (plant: string, line: string, query: Q) => Promise<Table>): void => {
    const name = path.replaceAll('/', '-').slice(1);
    app.get<OfLine>(`${base}${path}.csv`, async ({ params, query }, reply) => {
      const text = tableCsv(await make(params.plant, params.line, read(query)));
      void asFile(reply, 'text/csv; charset=utf-8', `${name}.csv`);
      return text;
    });
    app.get<OfLine>(`${base}${path}.xlsx`, async ({ params, query }, reply) => {
      const workbook = await tableXlsx(await make(params.plant, params.line, read(query)));
      void asFile(reply, XLSX, `${name}.xlsx`);
      return workbook;
    });
  };
  app.get<OfLine>(`${base}/dwell`, ({ params, query }) => reports.dwell(params.plant, params.line, dwellIn(query)));
  app.get<OfLine>(`${base}/dwell/visits`, ({ params, query }) => reports.visits(params.plant, params.line, visitsIn(query)));
  app.get<OfLine>(`${base}/scans`, ({ params, query }) => reports.scans(params.plant, params.line, periodIn(query)));
  app.get<OfLine>(`${base}/scans/marks`, ({ params, query }) => reports.marks(params.plant, params.line, marksIn(query)));
  table('/dwell', dwellIn, reports.dwellTable);
  table('/dwell/causes', dwellIn, reports.causesTable);
  table('/dwell/visits', visitsIn, reports.visitsTable);
  table('/scans', periodIn, reports.scansTable);
  table('/scans/marks', marksIn, reports.marksTable);
}

function asFile(reply: FastifyReply, type: string, name: string): FastifyReply {
  return reply.type(type).header('content-disposition', `attachment; filename="${name}"`);
}

const dwellIn = (query: Record<string, unknown>) => known(readDwellQuery(saidIn(query)));
const visitsIn = (query: Record<string, unknown>) => known(readVisitsQuery(saidIn(query)));
const marksIn = (query: Record<string, unknown>) => known(readMarksQuery(saidIn(query)));
const periodIn = (query: Record<string, unknown>) => {
  const wrong: string[] = [];
  return known({ query: readPeriod(saidIn(query), wrong), wrong });
};

/** Throws `malformedQuery` for the first part that has a value which is not known. */
function known<Q>({ query, wrong }: { query: Q; wrong: string[] }): Q {
  const where = wrong[0];
  if (where !== undefined) throw new StationhandError('malformedQuery', { what: `${where} has a value that is not known.`, where });
  return query;
}

function saidIn(query: Record<string, unknown>): Said {
  const said: Record<string, string> = {};
  for (const [key, value] of Object.entries(query)) {
    if (typeof value !== 'string') throw new StationhandError('malformedQuery', { what: `${key} is given more than once.`, where: key });
    said[key] = value;
  }
  return said;
}
