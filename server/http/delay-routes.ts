import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { tableXlsx } from '../actions/table-xlsx.ts';
import { StationhandError } from '../contract/errors.ts';
import { localDate } from '../contract/shapes.ts';
import { shiftDelaysTable } from '../contract/shift-delays-table.ts';
import type { Table } from '../core/tables/table.ts';

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

type OfLine = { Params: { plant: string; line: string }; Querystring: Record<string, unknown> };

/** Whose minutes they were: line delay of the shift that runs, and of the shifts of a period. */
export function delayRoutes(app: FastifyInstance, actions: Actions): void {
  app.get<OfLine>('/api/plants/:plant/lines/:line/delay', async ({ params }, reply) => {
    const told = await actions.lineDelayNow(params.plant, params.line);
    return told ?? reply.status(204).send();
  });
  app.get<OfLine>('/api/plants/:plant/lines/:line/delay/shifts', ({ params, query }) =>
    actions.lineDelayOfDays(params.plant, params.line, dayIn(query, 'from'), dayIn(query, 'to')));
  const table = async ({ plant, line }: { plant: string; line: string }, query: Record<string, unknown>): Promise<Table> => {
    const told = await actions.lineDelayOfDays(plant, line, dayIn(query, 'from'), dayIn(query, 'to'));
    return shiftDelaysTable(told, (await actions.setup(plant)).plant.timeZone);
  };
  app.get<OfLine>('/api/plants/:plant/lines/:line/delay/shifts.csv', async ({ params, query }, reply) => {
    const text = tableCsv(await table(params, query));
    return reply.type('text/csv; charset=utf-8').header('content-disposition', 'attachment; filename="line-delay.csv"').send(text);
  });
  app.get<OfLine>('/api/plants/:plant/lines/:line/delay/shifts.xlsx', async ({ params, query }, reply) => {
    const file = await tableXlsx(await table(params, query));
    return reply.type(XLSX).header('content-disposition', 'attachment; filename="line-delay.xlsx"').send(file);
  });
}

function dayIn(query: Record<string, unknown>, name: string): string {
  const parsed = localDate.safeParse(query[name]);
  if (parsed.success) return parsed.data;
  throw new StationhandError('malformedQuery', { what: `${name} is not a day such as 2026-11-30.`, where: name });
}
