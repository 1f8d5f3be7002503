import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { tableXlsx } from '../actions/table-xlsx.ts';
import { loadsTable } from '../contract/loads.ts';
import type { Table } from '../core/tables/table.ts';

type InPlant = { Params: { plant: string } };

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** What goes with which truck: as JSON and as files for a spreadsheet. */
export function loadRoutes(app: FastifyInstance, actions: Actions): void {
  const table = async (plant: string): Promise<Table> => {
    const [{ loads }, { plant: { timeZone } }] = await Promise.all([actions.loads(plant), actions.setup(plant)]);
    return loadsTable(loads, timeZone);
  };
  app.get<InPlant>('/api/plants/:plant/loads', ({ params }) => actions.loads(params.plant));
  app.get<InPlant>('/api/plants/:plant/loads.csv', async ({ params }, reply) => {
    const text = tableCsv(await table(params.plant));
    return reply.type('text/csv; charset=utf-8').header('content-disposition', 'attachment; filename="loads.csv"').send(text);
  });
  app.get<InPlant>('/api/plants/:plant/loads.xlsx', async ({ params }, reply) => {
    const file = await tableXlsx(await table(params.plant));
    return reply.type(XLSX).header('content-disposition', 'attachment; filename="loads.xlsx"').send(file);
  });
}
