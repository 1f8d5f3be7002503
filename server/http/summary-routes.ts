import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import type { AskedShift } from '../actions/shift-summary.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { tableXlsx } from '../actions/table-xlsx.ts';
import { StationhandError } from '../contract/errors.ts';
import { localDate } from '../contract/shapes.ts';
import { SUMMARY_TABLES, summaryTable, type SummaryTable } from '../contract/shift-summary-tables.ts';

type Query = Record<string, unknown>;
type OfLine = { Params: { plant: string; line: string }; Querystring: Query };

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** The shift of a line on one page, and its tables as files: `?date=2026-11-25&shift=Day&table=causes`. */
export function summaryRoutes(app: FastifyInstance, actions: Actions): void {
  app.get<OfLine>('/api/plants/:plant/lines/:line/summary', ({ params, query }) => actions.shiftSummary(params.plant, params.line, askedIn(query)));
  app.get<OfLine>('/api/plants/:plant/lines/:line/summary.csv', async ({ params, query }, reply) => {
    const which = tableIn(query);
    const summary = await actions.shiftSummary(params.plant, params.line, askedIn(query));
    void named(reply, 'text/csv; charset=utf-8', `${which}.csv`);
    return tableCsv(summaryTable(summary, which));
  });
  app.get<OfLine>('/api/plants/:plant/lines/:line/summary.xlsx', async ({ params, query }, reply) => {
    const which = tableIn(query);
    const summary = await actions.shiftSummary(params.plant, params.line, askedIn(query));
    void named(reply, XLSX, `${which}.xlsx`);
    return tableXlsx(summaryTable(summary, which));
  });
}

function named(reply: FastifyReply, type: string, file: string): FastifyReply {
  return reply.type(type).header('content-disposition', `attachment; filename="${file}"`);
}

function askedIn(query: Query): AskedShift {
  const date = query['date'];
  if (date !== undefined && !(localDate.safeParse(date).success && /^20/.test(String(date)))) throw new StationhandError('malformedQuery', { what: 'date is not a day from 2000 to 2099 such as 2026-11-30.', where: 'date' });
  const shift = query['shift'];
  if (shift !== undefined && typeof shift !== 'string') throw new StationhandError('malformedQuery', { what: 'shift is given more than once.', where: 'shift' });
  return { date: typeof date === 'string' ? date : null, shift: shift ?? null };
}

function tableIn(query: Query): SummaryTable {
  const table = SUMMARY_TABLES.find((known) => known === query['table']);
  if (!table) throw new StationhandError('malformedQuery', { what: `table is none of ${SUMMARY_TABLES.join(', ')}.`, where: 'table' });
  return table;
}
