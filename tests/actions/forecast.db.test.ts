import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildApp, type App } from '../../server/app.ts';
import type { ForecastReply, ForecastTold } from '../../server/contract/forecast.ts';
import type { PlansReply, WaysBackReply } from '../../server/contract/plans.ts';
import type { TrustReply } from '../../server/contract/trust.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { type Db, openDatabase } from '../../server/store/database.ts';
import { migrate } from '../../server/store/migrate.ts';
import { freshDatabase } from '../support/database.ts';
import { minute } from '../support/given.ts';
import { readXlsx } from '../support/read-xlsx.ts';
import { doorOf, enter } from '../support/enter.ts';
import { BY, register, stated, wholePlant, wire } from './house.ts';

let headers: Record<string, string> = {};
let planner: Record<string, string> = {};
const DAY = 1_440;

/** Twelve units through the line and inspection, 30 minutes apart at standard, and three behind them: one on the line held, one short of a part in the yard, one to come. */
function facts(): Fact[] {
  const told: Fact[] = [];
  for (let n = 0; n < 12; n++) {
    const unit = `P${n}`;
    const from = 100 + 30 * n;
    told.push(register(unit, { sequence: n, promise: '2026-06-02' }));
    for (const [station, after, work] of [['S1', 0, 25], ['S2', 30, 30], ['S3', 60, 20]] as const) {
      told.push(stated(from + after, 'arrive', { unit, station }), stated(from + after + work, 'finish', { unit, station }));
    }
    told.push(stated(from + 80, 'leave', { unit, station: 'S3' }));
    if (n === 11) continue;
    told.push(stated(from + 90, 'arrive', { unit, station: 'I1' }), stated(from + 96, 'leave', { unit, station: 'I1' }));
    told.push(stated(from + 110, 'release', { unit }), stated(from + 200, 'ship', { unit, carrier: '' }));
  }
  told.push(register('U1', { sequence: 20, promise: '2026-06-01' }), register('U2', { sequence: 21, plannedRelease: minute(600), promise: '2026-06-02' }), register('U3', { sequence: 22, plannedRelease: minute(630), promise: null }));
  told.push(stated(560, 'arrive', { unit: 'U1', station: 'S1' }));
  return told;
}

describe('the forecast of a plant', () => {
  let app: App;
  let db: Db;
  let now = minute(570);
  let close: () => Promise<void>;
  const held = stated(565, 'openHold', { unit: 'U1', reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' });
  const forecast = async (): Promise<ForecastReply> => (await app.fastify.inject({ url: '/api/plants/P/forecast', headers })).json<ForecastReply>();
  beforeAll(async () => {
    const { url, drop } = await freshDatabase();
    await migrate(url);
    const opened = openDatabase(url, () => {});
    db = opened.db;
    app = await buildApp({ db, clock: () => now, log: () => {} });
    close = async () => {
      await app.close();
      await opened.close();
      await drop();
    };
    await app.actions.loadPlant({ ...wholePlant(), lateThreshold: 0.3 }, 0, BY);
    const entrance = await enter(doorOf(app), (await app.actions.access.firstLink())!);
    headers = (await entrance.kiosk('badge-1')).headers;
    planner = (await entrance.person('badge-2', ['productionControl'])).headers;
    await app.actions.recordFacts('P', wire([...facts(), held]));
  });
  afterAll(() => close());

  it('tells when every unit that is not shipped will be ready, and by when its hold must be cleared', async () => {
    const told = await forecast();
    expect(told.units.map(({ unit }) => unit).sort()).toEqual(['P11', 'U1', 'U2', 'U3']);
    expect(told).toMatchObject({ made: now, threshold: 0.3, wanted: 0.8 });
    const unit = (code: string) => told.units.find((row) => row.unit === code)!;
    for (const { p10, p50, p80, p90 } of told.units) expect([p10, p50, p80, p90]).toEqual([p10, p50, p80, p90].sort((a, b) => a! - b!));
    // Two stations of 30 and 20 minutes, touch-up of 10, inspection of 6 and release after 14 more, as always: not before these.
    expect(unit('U1').p10! - now).toBeGreaterThanOrEqual((15 + 30 + 20 + 10 + 5 + 14) * 60_000);
    expect(unit('U1').p90! - now).toBeLessThan(DAY * 60_000);
    expect(unit('U3')).toMatchObject({ promise: null, missing: null, standing: null });
    // It waits for inspection since an hour, longer than any before by 50 minutes: taken to wait 50 more, then 6 of inspection and 14 until release.
    expect(unit('P11').p50! - now).toBe((50 + 6 + 14) * 60_000);
    expect(told.clearBy.map(({ unit: of, kind, what }) => ({ of, kind, what }))).toEqual([{ of: 'U1', kind: 'hold', what: 'Part missing' }]);
    expect(told.clearBy[0]!.latest! - now).toBeGreaterThan(5 * 60 * 60_000);
    expect(unit('U1').critical.map(({ code }) => code)).toContain('S1');
  });

  it('is compared with another plan under the same draws, and says what overtime would do', async () => {
    const asked = async (changes: unknown[]) => app.fastify.inject({ method: 'POST', url: '/api/plants/P/plans', headers: planner, payload: { changes } });
    const hold = (await forecast()).clearBy[0]!;
    const told = (await asked([{ kind: 'clearHold', unit: 'U1', hold: hold.hold, at: new Date(now).toISOString() }])).json<PlansReply>();
    const unit = (code: string) => told.units.find((row) => row.unit === code)!;
    expect(unit('U1').minutes!).toBeLessThanOrEqual(0);
    expect(unit('U3')).toMatchObject({ promise: null, missing: null });
    expect(told.units.every(({ before, after }) => after.p50! <= before.p50!)).toBe(true);
    const less = (await asked([{ kind: 'standard', station: 'S2', lessPercent: 50 }])).json<PlansReply>();
    expect(less.units.find((row) => row.unit === 'U2')!.minutes!).toBeLessThan(-10);
    expect((await asked([{ kind: 'places', station: 'NOWHERE', places: 2 }])).json()).toMatchObject({ error: { code: 'malformedBody' } });
    expect((await asked([])).statusCode).toBe(400);
    const back = (await app.fastify.inject({ url: '/api/plants/P/units/U2/ways-back', headers })).json<WaysBackReply>();
    expect(back.ways[0]).toMatchObject({ enough: true, changes: [{ kind: 'overtime', minutes: 30, to: '2026-06-02' }] });
    expect((await app.fastify.inject({ url: '/api/plants/P/units/NONE/ways-back', headers })).json()).toMatchObject({ error: { code: 'unknownUnit' } });
  });

  it('is on paper and in a workbook too', async () => {
    const file = (name: string) => app.fastify.inject({ url: `/api/plants/P/${name}`, headers });
    const pdf = await file('late.pdf?group=shipDay&language=es');
    expect(pdf.headers['content-type']).toBe('application/pdf');
    expect(pdf.rawPayload.subarray(0, 5).toString()).toBe('%PDF-');
    expect(pdf.rawPayload.length).toBeGreaterThan(2_000);
    const sheet = readXlsx((await file('late.xlsx')).rawPayload);
    expect([...sheet.rows[0]!.values()].map((cell) => ('text' in cell ? cell.text : ''))).toContain('probability_late');
    const csv = (await file('late.csv?group=none')).body.split('\r\n');
    expect(csv[0]).toContain('ready_10,ready_50,ready_80,ready_90,clear_by');
    expect(csv.some((line) => line.startsWith('U1,') && line.includes('Part missing: 2026-06-01'))).toBe(true);
  });

  it('is the same for the same facts at the same instant, and is kept in the database', async () => {
    const before = await forecast();
    expect(await forecast()).toEqual(before);
    const kept = await db.selectFrom('forecasts').selectAll().execute();
    expect(kept.map(({ line }) => line).sort()).toEqual(['MAIN', 'ROLL']);
    const { result, log_version: version } = kept.find(({ line }) => line === 'MAIN')!;
    expect(version).toBe(before.version);
    expect(result.units.find(({ unit }) => unit === 'U1')!.levels).toHaveLength(19);
  });

  it('is announced when it is made anew, an hour holds one, and a late unit is late', async () => {
    const heard: ForecastTold[] = [];
    app.actions.onForecast((_, told) => void heard.push(told));
    const made = async (at: number): Promise<ForecastReply> => {
      now = minute(at);
      return forecast();
    };
    await made(577);
    await made(590);
    await made(DAY + 10);
    const kept = await db.selectFrom('forecasts').where('line', '=', 'MAIN').select('made').orderBy('made').execute();
    expect(kept.map((row) => row.made)).toEqual([minute(590), minute(DAY + 10)]);
    expect(heard.map((told) => told.made)).toEqual(expect.arrayContaining([minute(577), minute(590), minute(DAY + 10)]));
    const late = (await forecast()).units[0]!;
    expect(late).toMatchObject({ unit: 'U1', standing: 'late', missing: 1 });
  });

  it('is held against what happened', async () => {
    await app.actions.recordFacts('P', wire([stated(650, 'release', { unit: 'P11' }), stated(800, 'release', { unit: 'U2' })]));
    const told = (await app.fastify.inject({ url: '/api/plants/P/trust', headers })).json<TrustReply>();
    const main = told.lines.find(({ line }) => line === 'MAIN')!;
    expect(main.kept).toBe(2);
    const [all] = main.scores;
    expect(all).toMatchObject({ daysAhead: null, forecasts: 2, units: 2 });
    expect(all!.coverage + all!.tooEarly + all!.tooLate).toBeCloseTo(1, 9);
  });

  it('says by when a part that was moved to another unit must be back on its donor', async () => {
    now += 3 * 60 * 60_000;
    const at = { happened: now - 60_000 };
    const fitted = stated(0, 'recordPart', { unit: 'U2', part: 'FURN', number: 'N-1', lot: '' }, { happened: now - 120_000 });
    await app.actions.recordFacts('P', wire([fitted, stated(0, 'promise', { unit: 'U2', promise: '2026-06-09', reason: 'New day' }, at), stated(0, 'removePart', { unit: 'U2', fitted: fitted.id, reason: 'U1 goes first', takenFor: 'U1' }, at)]));
    await expect.poll(async () => (await forecast()).clearBy.map(({ unit, kind, what }) => ({ unit, kind, what })), { timeout: 20_000 }).toContainEqual({ unit: 'U2', kind: 'short', what: 'FURN' });
  });

  it('answers a plant that is not there', async () => {
    expect((await app.fastify.inject({ url: '/api/plants/NONE/forecast', headers })).json()).toMatchObject({ error: { code: 'unknownPlant' } });
  });
});
