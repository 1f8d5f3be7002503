import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { DwellReply, MarksReply, ScansReply, VisitsReply } from '../../server/contract/dwell.ts';
import { BY, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { floorWeeks } from '../support/floor-weeks.ts';
import { minute } from '../support/given.ts';
import { readXlsx } from '../support/read-xlsx.ts';

const PERIOD = 'from=2026-06-01&to=2026-06-21';

let house: TestHouse;
let headers: Record<string, string>;

beforeAll(async () => {
  house = await testHouse();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  headers = (await (await house.enter()).kiosk('badge-1')).headers;
  const facts = wire(floorWeeks(21));
  for (let i = 0; i < facts.length; i += 500) await house.app.actions.recordFacts('P', facts.slice(i, i + 500));
});
afterAll(() => house.close());

const ask = (path: string) => house.app.fastify.inject({ url: `/api/plants/P/lines/${path}`, headers });
const json = async <T>(path: string): Promise<T> => {
  const reply = await ask(path);
  expect([path, reply.statusCode]).toEqual([path, 200]);
  return reply.json<T>();
};
const csv = async (path: string): Promise<Record<string, string>[]> => {
  const reply = await ask(path);
  expect(reply.headers['content-type']).toMatch(/^text\/csv/);
  expect(reply.headers['content-disposition']).toMatch(/attachment; filename="[\w-]+\.csv"/);
  return parse(reply.body, { columns: true, record_delimiter: '\r\n' });
};
const two = (value: number | null | undefined): string => (value === null || value === undefined ? '' : String(Number(value.toFixed(2))));

describe('dwell and delay over HTTP', () => {
  it('tells the visits of three weeks: what was held, stopped, missed and is open', async () => {
    const told = await json<DwellReply>(`MAIN/dwell?${PERIOD}`);
    expect(told).toMatchObject({ line: 'MAIN', timeZone: 'UTC', period: { first: '2026-06-01', last: '2026-06-21', begins: minute(0), ends: minute(21 * 1_440) } });
    expect(told.rows.map(({ station, visits, missed, provisional }) => [station, visits, missed, provisional])).toEqual([['S1', 84, 0, 0], ['S2', 63, 21, 0], ['S3', 83, 0, 1]]);
    expect(told.causes.map(({ kind, reason }) => `${kind} ${reason}`)).toEqual(expect.arrayContaining(['hold Part missing', 'stop Tool broken', 'rollLag ']));
    // Seven minutes held on the first unit of each day, five stopped on the second.
    expect(told.causes.find(({ kind }) => kind === 'hold')).toMatchObject({ amount: 147, visits: 21 });
    expect(told.causes.find(({ kind }) => kind === 'stop')).toMatchObject({ amount: 105, visits: 21 });
    expect(told.trend.weeks.map(({ week }) => week)).toEqual(['2026-W23', '2026-W24', '2026-W25']);
    expect(told.trend.chart?.points).toHaveLength(3);
    expect(told.rows.reduce((sum, { lineMinutes }) => sum + lineMinutes, 0)).toBeCloseTo(told.lineDelay.totalMinutes, 6);
    expect(told.constraintSteps.map(({ week }) => week)).toEqual(['2026-W23', '2026-W24', '2026-W25']);
  });

  it.each(['station', 'model', 'shift', 'week', 'station,week'])('gives a CSV by %s that is what the screen is told', async (by) => {
    const told = await json<DwellReply>(`MAIN/dwell?${PERIOD}&by=${by}&sort=stationDelay`);
    const rows = await csv(`MAIN/dwell.csv?${PERIOD}&by=${by}&sort=stationDelay`);
    expect(rows.map((row) => [row['station'], row['model'], row['shift'], row['week'], row['visits'], row['not_scanned'], row['dwell_p50'], row['held_mean'], row['station_delay_sum'], row['line_delay'], row['starved'], row['blocked_sum']]))
      .toEqual(told.rows.map((row) => [row.station ?? '', row.model ?? '', row.shift ?? '', row.week ?? '', String(row.visits), String(row.missed), two(row.dwell?.p50), two(row.states.held?.mean),
        two(row.stationDelay?.sum), two(row.lineMinutes), two(row.starved), two(row.states.blocked?.sum)]));
  });

  it('gives causes, visits and marks as files too', async () => {
    const { causes } = await json<DwellReply>(`MAIN/dwell?${PERIOD}`);
    expect((await csv(`MAIN/dwell/causes.csv?${PERIOD}`)).map((row) => [row['kind'], row['reason'], row['station_delay']])).toEqual(causes.map(({ kind, reason, amount }) => [kind, reason, two(amount)]));
    expect(await csv(`MAIN/dwell/visits.csv?${PERIOD}&of=missed`)).toHaveLength(21);
    expect((await csv(`MAIN/scans/marks.csv?${PERIOD}&kind=told`)).every(({ kind }) => kind === 'told')).toBe(true);
  });

  it('gives a workbook with numbers that are numbers and dates that are dates', async () => {
    const told = await json<VisitsReply>(`MAIN/dwell/visits?${PERIOD}&station=S1`);
    const reply = await ask(`MAIN/dwell/visits.xlsx?${PERIOD}&station=S1`);
    expect(reply.headers['content-type']).toBe('application/vnd.openxmlformats-officedocument.spreadsheetml.sheet');
    const [heads, ...rows] = readXlsx(reply.rawPayload).rows;
    const column = (name: string): string => [...heads!].find(([, cell]) => 'text' in cell && cell.text === name)![0];
    expect(rows).toHaveLength(told.count);
    rows.forEach((row, i) => {
      const { visit } = told.visits[i]!;
      expect(row.get(column('serial'))).toEqual({ text: visit.unit });
      const dwell = row.get(column('dwell'));
      expect(dwell && 'number' in dwell ? dwell.number : null).toBeCloseTo(visit.dwell, 9);
      const arrived = row.get(column('arrived (UTC)'));
      // Days since 30 December 1899 (ECMA-376 part 1, 18.17.4.1).
      expect(arrived && 'number' in arrived ? Math.round((arrived.number - 25_569) * 1_440) : null).toBe(Math.floor(visit.arrived! / 60_000));
      expect(arrived).toMatchObject({ format: expect.stringContaining('yyyy') as string });
    });
    const dwellSheet = readXlsx((await ask(`MAIN/dwell.xlsx?${PERIOD}`)).rawPayload);
    expect([dwellSheet.name, dwellSheet.rows.length]).toEqual(['Dwell and delay', 4]);
  });

  it('lists the visits behind a figure', async () => {
    const { rows } = await json<DwellReply>(`MAIN/dwell?${PERIOD}&by=station,week`);
    for (const { station, week, visits, missed, stationDelay } of rows.filter((row) => row.station !== '')) {
      const of = async (figure: string) => json<VisitsReply>(`MAIN/dwell/visits?${PERIOD}&station=${station}&week=${week}&of=${figure}`);
      expect([(await of('counted')).count, (await of('missed')).count]).toEqual([visits, missed]);
      expect((await of('stationDelay')).visits.reduce((sum, { visit }) => sum + visit.stationDelay, 0)).toBeCloseTo(stationDelay?.sum ?? 0, 6);
    }
    const held = await json<VisitsReply>(`MAIN/dwell/visits?${PERIOD}&of=cause&kind=hold&reason=${encodeURIComponent('Part missing')}`);
    expect(held.visits.map(({ reasons }) => reasons)).toEqual(Array(21).fill([{ kind: 'hold', reason: 'Part missing', minutes: 7 }]));
    const cost = await json<VisitsReply>(`MAIN/dwell/visits?${PERIOD}&of=lineDelay`);
    expect(cost.visits.every(({ lineMinutes }) => lineMinutes !== null)).toBe(true);
  });

  it('follows what is recorded late: the report asked for next has it', async () => {
    const before = await json<VisitsReply>('MAIN/dwell/visits?from=2026-06-22&to=2026-06-28');
    const facts = wire(floorWeeks(1, 1)).map((fact) => JSON.parse(JSON.stringify(fact).replaceAll('2026-06-01', '2026-06-22').replaceAll('W100', 'LATE1')) as unknown);
    await house.app.actions.recordFacts('P', facts);
    const after = await json<VisitsReply>('MAIN/dwell/visits?from=2026-06-22&to=2026-06-28');
    expect([before.count, after.visits.map(({ key }) => `${key.unit} ${key.station}`)]).toEqual([0, ['LATE1 S1', 'LATE1 S2']]);
  });
});

describe('scan habits over HTTP', () => {
  it('tell what was missed and backdated, and lead to it', async () => {
    const { habits } = await json<ScansReply>(`MAIN/scans?${PERIOD}`);
    const of = (station: string) => habits.find((habit) => habit.station === station)!;
    expect(of('S2').marks).toMatchObject({ notScanned: 21, told: 21 });
    expect(of('S2').goodShare).toBeCloseTo(of('S2').good / (of('S2').scans + of('S2').missing), 12);
    const marks = await json<MarksReply>(`MAIN/scans/marks?${PERIOD}&station=S2&kind=told`);
    expect([marks.count, new Set(marks.marks.map(({ kind, station }) => `${kind} ${station}`))]).toEqual([21, new Set(['told S2'])]);
    expect((await csv(`MAIN/scans.csv?${PERIOD}`)).map((row) => [row['station'], row['scans'], row['good'], row['not_scanned'], row['told']]))
      .toEqual(habits.map(({ station, scans, good, marks: own }) => [station, scans, good, own.notScanned, own.told].map(String)));
  });
});

describe('what cannot be answered', () => {
  it.each([
    ['NONE/dwell', 404, 'unknownLine'], ['NONE/scans.xlsx', 404, 'unknownLine'], ['MAIN/dwell?by=colour', 400, 'malformedQuery'], ['MAIN/dwell?from=2026-06-01', 400, 'malformedQuery'],
    ['MAIN/dwell?from=2026-06-09&to=2026-06-01', 400, 'malformedQuery'], ['MAIN/dwell?from=2025-01-01&to=2026-06-01', 400, 'malformedQuery'], ['MAIN/dwell.csv?from=soon&to=2026-06-01', 400, 'malformedQuery'],
    ['MAIN/dwell?from=0001-01-01&to=0001-01-02', 400, 'malformedQuery'], ['MAIN/dwell?period=year', 400, 'malformedQuery'], ['MAIN/dwell?by=station&by=week', 400, 'malformedQuery'], ['MAIN/dwell/visits?of=all', 400, 'malformedQuery'],
    ['MAIN/dwell/visits?of=cause', 400, 'malformedQuery'], ['MAIN/scans/marks?kind=bad', 400, 'malformedQuery'], ['MAIN/dwell.pdf', 404, 'unknownRoute'],
  ])('%s: %i %s', async (path, status, code) => {
    const reply = await ask(path);
    expect([reply.statusCode, reply.json<{ error: { code: string } }>().error.code]).toEqual([status, code]);
  });

  it('is not what has not happened: days to come, and a line where nothing moved, are empty', async () => {
    expect(await json<DwellReply>('MAIN/dwell?from=2099-01-01&to=2099-01-05')).toMatchObject({ rows: [], causes: [], constraint: null });
    expect(await json<DwellReply>(`FEED/dwell?${PERIOD}`)).toMatchObject({ rows: [], whole: { visits: 0 } });
    expect((await json<ScansReply>(`FEED/scans?${PERIOD}`)).habits).toEqual([]);
  });
});
