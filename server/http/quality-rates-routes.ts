import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { identityOf } from '../actions/access/caller.ts';
import { tableCsv } from '../actions/table-csv.ts';
import { CLAIM_COLUMNS } from '../contract/claims-csv.ts';
import { StationhandError } from '../contract/errors.ts';
import { type PeriodQuery, readPeriod } from '../contract/period-query.ts';
import { IMPORT_MODES } from '../contract/replies.ts';
import { callerOf } from './caller-of.ts';

type InPlant = { Params: { plant: string }; Querystring: Record<string, unknown> };

const CSV = 'text/csv; charset=utf-8';

/** Rates of quality, and dealers' claims in and out. */
export function qualityRatesRoutes(app: FastifyInstance, { quality }: Actions): void {
  app.get<InPlant>('/api/plants/:plant/quality-rates', ({ params, query }) => quality.rates(params.plant, periodIn(query)));
  app.get<InPlant>('/api/plants/:plant/claims.csv', async ({ params, query }, reply) => {
    const text = tableCsv(await quality.claimsTable(params.plant, periodIn(query)));
    void reply.type(CSV).header('content-disposition', 'attachment; filename="claims.csv"');
    return text;
  });
  app.get<InPlant>('/api/plants/:plant/claims/template.csv', (_request, reply) => {
    void reply.type(CSV).header('content-disposition', 'attachment; filename="claims-template.csv"');
    return `${CLAIM_COLUMNS.join(',')}\r\n`;
  });
  app.post<InPlant>('/api/plants/:plant/claims/import', (request) => {
    const { body, params, query } = request;
    if (typeof body !== 'string') throw new StationhandError('wrongMediaType');
    const mode = IMPORT_MODES.find((known) => known === query['mode']);
    if (!mode) throw new StationhandError('malformedQuery', { what: `mode is none of ${IMPORT_MODES.join(', ')}.`, where: 'mode' });
    return quality.importClaims(params.plant, body, mode, identityOf(callerOf(request)));
  });
}

function periodIn(query: Record<string, unknown>): PeriodQuery {
  const wrong: string[] = [];
  const period = readPeriod(Object.fromEntries(Object.entries(query).map(([key, value]) => [key, String(value)])), wrong);
  if (wrong[0] !== undefined) throw new StationhandError('malformedQuery', { what: `${wrong[0]} has a value that is not known.`, where: wrong[0] });
  return period;
}
