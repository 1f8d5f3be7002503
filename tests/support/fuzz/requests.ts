import fc from 'fast-check';
import { linkBody, pairBody, pairDemoBody, providerSignInBody, pairingCodeBody, personBody, pinBody, signInBody } from '../../../server/contract/access.ts';
import { CLAIM_COLUMNS } from '../../../server/contract/claims-csv.ts';
import { DWELL_BY, TREND_MEASURES } from '../../../server/contract/dwell-query.ts';
import { factSchema } from '../../../server/contract/fact.ts';
import { labelFigures } from '../../../server/contract/label-setup.ts';
import { LATE_GROUPS, LATE_SORTS } from '../../../server/contract/late-report.ts';
import { MARK_KINDS } from '../../../server/contract/marks-query.ts';
import { PERIODS } from '../../../server/contract/period-query.ts';
import { plansSchema } from '../../../server/contract/plans.ts';
import { IMPORT_MODES } from '../../../server/contract/replies.ts';
import { SUMMARY_TABLES } from '../../../server/contract/shift-summary-tables.ts';
import { campaignSchema } from '../../../server/contract/trace.ts';
import { UNIT_COLUMNS } from '../../../server/contract/units-csv.ts';
import type { RouteName } from '../../../server/core/access/rights.ts';
import { DWELL_SORTS } from '../../../server/core/rates/dwell-report.ts';
import { BEHIND } from '../../../server/core/rates/visits-behind.ts';
import { someFigures } from '../given-labels.ts';
import { fromSchema, type Pools } from './from-schema.ts';
import { fuzzedPlant } from './fuzzed-plant.ts';
import { BROKEN_JSON, hostileText, spoiled } from './hostile.ts';
import { brokenPhoto, wholePhoto } from './photos.ts';

export type HttpRoute = Exclude<RouteName, `SOCKET ${string}`>;

/** One request; `DEVICE` and `WHO` in its body stand for the asker's own. */
export interface Hostile {
  method: 'GET' | 'POST' | 'PUT';
  url: string;
  headers: Record<string, string>;
  payload?: string | Buffer;
}

/** What the house has that a request can name. */
export interface Known {
  /** Ids of people and devices that the test can do without, of facts, and of a photo that is kept. */
  people: readonly string[];
  devices: readonly string[];
  facts: readonly string[];
  photo: string;
  /** Tokens of links and pairing codes that were not used yet, and who can sign in. */
  links: readonly string[];
  codes: readonly string[];
  login: string;
  password: string;
}

export const DEVICE = '@device';
export const WHO = '@who';

export interface Payload { payload?: string | Buffer; type?: string }
interface Route {
  /** What stands after the `?`, with values that are known. */
  query?: Record<string, readonly string[]>;
  body?: fc.Arbitrary<Payload>;
}

const DAYS = ['2026-06-01', '2026-06-03', '2026-11-26', '2099-12-31', '2000-01-01', '1999-12-31'];
const INSTANTS = ['2026-06-01T06:00:00Z', '2026-06-01T08:00:00+02:00', '2099-12-31T23:59:59.999Z', '2000-01-01T00:00:00Z', '1999-12-31T23:59:59Z'];
const UNITS = ['CF1', 'CF2', 'CF3'];
const STATIONS = ['A', 'B', 'C', 'YARD'];
const SHORT_UUID = '01a216c8-fa73-77df-b934-171a249bc5bd';
const period = { period: PERIODS, from: DAYS, to: DAYS };
const filter = { station: STATIONS, model: ['M'], shift: ['All day', '-'] };
const dwell = { ...period, ...filter, by: DWELL_BY, sort: DWELL_SORTS, measure: TREND_MEASURES };
const visits = { ...period, ...filter, of: BEHIND, week: ['2026-W23', '2026-W99'], kind: ['hold', 'stop', 'overStandard', 'rollLag'], reason: ['Leak'] };
const marks = { ...period, ...filter, kind: MARK_KINDS };
const late = { shipDay: DAYS, dealer: ['Dealer 01'], model: ['M'], only: ['late'], group: LATE_GROUPS, sort: LATE_SORTS, language: ['en', 'es'] };
const which = { part: ['AXLE'], from: ['N-1', 'N-10'], to: ['N-99'], lot: ['L1'], builtFrom: DAYS, builtTo: DAYS };
const shift = { date: DAYS, shift: ['All day'], table: SUMMARY_TABLES };
const paper = { language: ['en', 'es'] };

function poolsOf({ facts, links, codes, login, password }: Known): Pools {
  const now = Date.now();
  const recent = fc.integer({ min: -600_000, max: 1_000 }).map((by) => new Date(now + by).toISOString());
  const station = fc.constantFrom(...STATIONS, 'NONE');
  return {
    unit: fc.constantFrom(...UNITS, 'NEW1', 'NEW2'), scanned: fc.constantFrom(...UNITS, 'NEW3'), before: fc.constantFrom(...UNITS), station, from: station, to: station, place: station, fromStation: station,
    line: fc.constantFrom('MAIN', 'NONE'), model: fc.constantFrom('M', 'NONE'), zones: fc.constantFrom('wall', 'roof', 'NONE'), zone: fc.constantFrom('wall', 'NONE'), part: fc.constantFrom('AXLE', 'NONE'),
    check: fc.constantFrom('LEAK', 'LABEL', 'NONE'), item: fc.constantFrom('dry', 'pressure', 'one', 'PAPERS'), campaign: fc.constantFrom('C1', 'C2'), who: fc.constant(WHO), device: fc.constant(DEVICE),
    happened: recent, 'date-time': fc.oneof(recent, fc.constantFrom(...INSTANTS)), date: fc.constantFrom(...DAYS), uuid: fc.oneof(fc.uuid({ version: 7 }), fc.constantFrom(...facts)),
    id: fc.uuid({ version: 7 }), login: fc.constantFrom(login, 'spare-2', 'nobody'), password: fc.constantFrom(password, 'wrong', 'a phrase that nobody chose'), pin: fc.constantFrom('8031726', '0000'),
    token: fc.constantFrom(...links, 'none'), badge: fc.constantFrom('spare-1', 'spare-2', 'spare-3'), code: fc.constantFrom(...codes, 'NONE'), name: fc.constantFrom('Spare', '=1+1'),
  };
}

/** Mostly JSON by the schema, or nearly; sometimes none at all, or said to be something else. */
function json(value: fc.Arbitrary<unknown>): fc.Arbitrary<Payload> {
  const text = fc.oneof({ weight: 4, arbitrary: value.map((good) => JSON.stringify(good)) }, { weight: 6, arbitrary: spoiled(value).map((bad) => JSON.stringify(bad) ?? '') }, { weight: 2, arbitrary: fc.constantFrom(...BROKEN_JSON) });
  const type = fc.oneof({ weight: 12, arbitrary: fc.constant('application/json') }, fc.constantFrom(...WRONG_TYPES));
  return fc.oneof({ weight: 15, arbitrary: fc.record({ payload: text, type }) }, fc.constant({}));
}

const WRONG_TYPES = [
  'text/plain', 'text/csv', 'image/jpeg', 'application/xml', 'multipart/form-data', 'multipart/form-data; boundary=x', 'application/x-www-form-urlencoded', 'application/json; charset=utf-16', 'application/json;', ';', 'x', '*/*', 'application/__proto__',
  `application/${'j'.repeat(2_000)}`,
];

function csv(columns: readonly string[], cells: readonly string[]): fc.Arbitrary<Payload> {
  const cell = fc.oneof({ weight: 4, arbitrary: fc.constantFrom(...cells) }, hostileText);
  const row = fc.array(cell, { minLength: columns.length - 1, maxLength: columns.length + 1 }).map((of) => of.map((one) => (/^[\w .:-]*$/.test(one) ? one : `"${one.replaceAll('"', '""')}"`)).join(','));
  const head = fc.oneof({ weight: 5, arbitrary: fc.constant(columns.join(',')) }, hostileText, fc.shuffledSubarray([...columns, ...columns]).map((of) => of.join(';')));
  const text = fc.tuple(head, fc.array(fc.oneof({ weight: 8, arbitrary: row }, hostileText), { maxLength: 6 }), fc.constantFrom('\n', '\r\n', '\r')).map(([first, rows, end]) => [first, ...rows].join(end));
  const type = fc.oneof({ weight: 8, arbitrary: fc.constant('text/csv') }, fc.constantFrom('text/csv; charset=latin1', 'application/json', ...WRONG_TYPES));
  return fc.record({ payload: fc.oneof({ weight: 6, arbitrary: text }, fc.constantFrom('', '"', '\u0000', `"${'a'.repeat(50_000)}`, '\n'.repeat(2_000))), type });
}

const photo: fc.Arbitrary<Payload> = fc.record({
  payload: fc.oneof(wholePhoto, brokenPhoto, brokenPhoto, hostileText), type: fc.oneof({ weight: 6, arbitrary: fc.constant('image/jpeg') }, fc.constantFrom('image/png', 'image/svg+xml', ...WRONG_TYPES)),
});

/** What every route of the table takes. The test fails for a route that has no entry here. */
export function routesOf(known: Known): Record<HttpRoute, Route> {
  const pools = poolsOf(known);
  const of = (...[schema, more]: [Parameters<typeof fromSchema>[0], Pools?]): Route => ({ body: json(fromSchema(schema, { ...pools, ...more })) });
  const said = (entries: Record<string, fc.Arbitrary<unknown>>): Route => ({ body: json(fc.record(entries, { noNullPrototype: true })) });
  const fact = fromSchema(factSchema, pools);
  const facts: Route = { body: json(fc.record({ facts: fc.array(fc.oneof({ weight: 3, arbitrary: fact }, spoiled(fact)), { minLength: 1, maxLength: 4 }), pins: fc.oneof({ weight: 6, arbitrary: fc.constant({}) }, spoiled(fc.constant({ none: '0000' }))) }, { noNullPrototype: true })) };
  const none: Route = { body: fc.oneof({ weight: 3, arbitrary: fc.constant({}) }, json(fc.constant({}))) };
  const table = (path: string, query: Record<string, readonly string[]>): Record<string, Route> => Object.fromEntries(['', '.csv', '.xlsx'].map((end) => [`GET /api/plants/:plant${path}${end}`, { query }]));
  const same = (path: string, query: Record<string, readonly string[]>) => table(`/lines/:line${path}`, query);
  const own: Partial<Record<HttpRoute, Route>> = {
    'POST /api/sign-in': of(signInBody), 'POST /api/sign-out': none, 'POST /api/links': of(linkBody), 'POST /api/pair': of(pairBody), 'POST /api/pair-demo': of(pairDemoBody),
    'POST /api/oidc/begin': of(providerSignInBody), 'GET /api/oidc/callback': { query: { code: ['a'], state: ['b'], error: ['access_denied'] } },
    'POST /api/plants/:plant/pin': of(pinBody),
    'PUT /api/plants/:plant/setup': { query: { validFrom: INSTANTS }, body: json(fc.constantFrom('P', 'Q').map(fuzzedPlant)) },
    'POST /api/plants/:plant/facts': facts,
    'POST /api/plants/:plant/units/import': { query: { mode: IMPORT_MODES }, body: csv(UNIT_COLUMNS, [...UNITS, 'M', '1', '2026-06-02 06:00', '2026-06-09', '']) },
    'POST /api/plants/:plant/claims/import': { query: { mode: IMPORT_MODES }, body: csv(CLAIM_COLUMNS, ['CL1', 'CL2', '1ZZTB2427T0000001', '2026-06-02', 'wall', 'AXLE', 'A', '']) },
    'POST /api/plants/:plant/plans': of(plansSchema, { from: fc.constantFrom(...DAYS), to: fc.constantFrom(...DAYS) }),
    'POST /api/plants/:plant/units/:unit/release': none,
    'POST /api/plants/:plant/units/:unit/revoke-release': said({ reason: hostileText }),
    'POST /api/plants/:plant/ship': said({ units: fc.subarray([...UNITS, 'NONE']), carrier: hostileText, override: fc.option(hostileText, { nil: undefined }) }),
    'POST /api/plants/:plant/checks/:check/items/:item/confirm': said({ edition: hostileText }),
    'POST /api/plants/:plant/units/:unit/labels/confirm': said({ edition: hostileText, figures: fc.oneof(fc.constant(someFigures()), fromSchema(labelFigures, pools)) }),
    'PUT /api/plants/:plant/photos/:photo': { body: photo },
    'POST /api/plants/:plant/campaigns': of(campaignSchema, { from: fc.constantFrom('N-1', 'N-5'), to: fc.constantFrom('N-1', 'N-5'), code: fc.constantFrom('C1', 'C2') }),
    'POST /api/plants/:plant/people': of(personBody), 'PUT /api/plants/:plant/people/:person': of(personBody), 'POST /api/plants/:plant/people/:person/link': none,
    'POST /api/plants/:plant/devices/codes': of(pairingCodeBody), 'POST /api/plants/:plant/devices/:device/code': none, 'POST /api/plants/:plant/devices/:device/revoke': none,
    'GET /api/plants/:plant/audit': { query: { before: ['1', '99', '999999999999999'] } },
    'GET /api/plants/:plant/late.pdf': { query: late }, 'GET /api/plants/:plant/units/:unit/traveler': { query: paper }, 'GET /api/plants/:plant/units/:unit/tags': { query: paper }, 'GET /api/plants/:plant/units/:unit/labels': { query: paper }, 'GET /api/plants/:plant/placards': { query: paper },
    'GET /api/plants/:plant/which-units': { query: which }, 'GET /api/plants/:plant/which-units.csv': { query: which }, 'GET /api/plants/:plant/quality-rates': { query: period }, 'GET /api/plants/:plant/claims.csv': { query: period },
    'GET /api/plants/:plant/lines/:line/delay/shifts': { query: { from: DAYS, to: DAYS } },
    'GET /api/plants/:plant/lines/:line/delay/shifts.csv': { query: { from: DAYS, to: DAYS } }, 'GET /api/plants/:plant/lines/:line/delay/shifts.xlsx': { query: { from: DAYS, to: DAYS } },
    ...table('/late', late), ...same('/summary', shift), ...same('/dwell', dwell), 'GET /api/plants/:plant/lines/:line/dwell/causes.csv': { query: dwell }, 'GET /api/plants/:plant/lines/:line/dwell/causes.xlsx': { query: dwell }, ...same('/dwell/visits', visits), ...same('/scans', period), ...same('/scans/marks', marks),
  };
  const plain: HttpRoute[] = [
    'GET /api/me', 'GET /api/clock', 'GET /api/schemas/plant.json', 'GET /api/plants', 'GET /api/plants/:plant/setup', 'GET /api/plants/:plant/snapshot', 'GET /api/plants/:plant/loads', 'GET /api/plants/:plant/loads.csv',
    'GET /api/plants/:plant/loads.xlsx', 'GET /api/plants/:plant/kiosks', 'GET /api/plants/:plant/units/template.csv', 'GET /api/plants/:plant/units/:unit', 'GET /api/plants/:plant/units/:unit/offered-vin',
    'GET /api/plants/:plant/units/:unit/ways-back', 'GET /api/plants/:plant/forecast', 'GET /api/plants/:plant/trust', 'GET /api/plants/:plant/ship-list.csv', 'GET /api/plants/:plant/photos/:photo',
    'GET /api/plants/:plant/claims/template.csv', 'GET /api/plants/:plant/campaigns', 'GET /api/plants/:plant/campaigns/:campaign/units.csv', 'GET /api/plants/:plant/lines/:line/delay', 'GET /api/plants/:plant/badges',
    'GET /api/plants/:plant/common-findings', 'GET /api/plants/:plant/people', 'GET /api/plants/:plant/devices',
  ];
  return { ...Object.fromEntries(plain.map((name) => [name, {}])), ...own } as Record<HttpRoute, Route>;
}

/** Parts of an address that are known, by their name in the route. */
export function partsOf({ people, devices, photo: kept }: Known): Record<string, readonly string[]> {
  return {
    plant: ['P', 'P', 'P', 'P', 'P', 'Q', 'NONE'], unit: UNITS, line: ['MAIN', 'NONE'], check: ['LEAK'], item: ['pressure', 'dry'], campaign: ['C1', 'C2'], photo: [kept, SHORT_UUID], person: [...people, SHORT_UUID], device: [...devices, SHORT_UUID],
  };
}
