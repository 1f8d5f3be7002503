import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LineDelayReply, ShiftDelaysReply } from '../../server/contract/line-delay.ts';
import { buildApp } from '../../server/app.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { openDatabase } from '../../server/store/database.ts';
import { migrate } from '../../server/store/migrate.ts';
import { freshDatabase } from '../support/database.ts';
import { doorOf, enter } from '../support/enter.ts';
import { aLine, aPlant, aStation, minute } from '../support/given.ts';
import { BY, register, stated, wire } from './house.ts';

const STANDARD = { A: 25, B: 30, C: 20 };

/** The second worked example of definitions §5: a hold of 18 minutes at station 3 on unit 2 costs the line 8. All units run at standard otherwise. */
function workedExample(): Fact[] {
  const facts: Fact[] = [1, 2, 3, 4].map((n) => register(`U${n}`, { sequence: n, plannedRelease: minute((n - 1) * 30) }));
  const scan = (unit: number, station: 'A' | 'B' | 'C', arrived: number, finished: number): void =>
    void facts.push(stated(arrived, 'arrive', { unit: `U${unit}`, station }), stated(finished, 'finish', { unit: `U${unit}`, station }));
  scan(1, 'A', 0, 25); scan(1, 'B', 25, 55); scan(1, 'C', 55, 75);
  scan(2, 'A', 30, 55); scan(2, 'B', 55, 85); scan(2, 'C', 85, 123);
  scan(3, 'A', 60, 85); scan(3, 'B', 85, 115);
  scan(4, 'A', 90, 115);
  facts.push(stated(75, 'leave', { unit: 'U1', station: 'C' }));
  const hold = stated(85, 'openHold', { unit: 'U2', reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' });
  facts.push(hold, stated(103, 'clearHold', { unit: 'U2', hold: hold.id, note: '' }));
  return facts;
}

describe('line delay over HTTP', () => {
  let close: () => Promise<void>;
  let ask: (path: string) => Promise<{ statusCode: number; json<T>(): T }>;
  beforeAll(async () => {
    const { url, drop } = await freshDatabase();
    await migrate(url);
    const opened = openDatabase(url, () => {});
    // The worked example is asked about at its minute 120.
    const app = await buildApp({ db: opened.db, clock: () => minute(120), log: () => {} });
    let headers: Record<string, string> = {};
    ask = (path) => app.fastify.inject({ url: path, headers });
    close = async () => {
      await app.close();
      await opened.close();
      await drop();
    };
    await app.actions.loadPlant(aPlant(aLine(['A', 'B', 'C'].map((code) => aStation(code))), STANDARD), 0, BY);
    headers = (await (await enter(doorOf(app), (await app.actions.access.firstLink())!)).kiosk('badge-1')).headers;
    await app.actions.recordFacts('P', wire(workedExample()));
  });
  afterAll(() => close());

  it('tells the shift that runs, and names whose it is', async () => {
    const told = (await ask('/api/plants/P/lines/MAIN/delay')).json<LineDelayReply>();
    expect(told).toMatchObject({ line: 'MAIN', shift: 'All day', date: '2026-06-01', lastUnit: 'U4' });
    expect(told.totalMinutes).toBeCloseTo(8, 6);
    expect(told.causes.reduce((sum, cause) => sum + cause.lineMinutes, 0)).toBeCloseTo(told.totalMinutes, 6);
    expect(told.costs[0]).toMatchObject({ station: 'C', kind: 'hold', reason: 'Part missing', units: ['U2'] });
  });

  it('tells shifts, days and the whole of a period as their sums', async () => {
    const told = (await ask('/api/plants/P/lines/MAIN/delay/shifts?from=2026-06-01&to=2026-06-02')).json<ShiftDelaysReply>();
    expect(told.shifts.map(({ date }) => date)).toEqual(['2026-06-01']);
    expect(told.days[0]?.totalMinutes).toBeCloseTo(told.shifts[0]!.totalMinutes, 9);
    expect(told.whole.totalMinutes).toBeCloseTo(told.shifts[0]!.totalMinutes, 9);
  });

  it('answers a line that is not there, days that are none, and too many of them', async () => {
    expect((await ask('/api/plants/P/lines/NONE/delay')).json()).toMatchObject({ error: { code: 'unknownLine' } });
    expect((await ask('/api/plants/P/lines/MAIN/delay/shifts?from=today&to=2026-06-02')).json()).toMatchObject({ error: { code: 'malformedQuery', where: 'from' } });
    expect((await ask('/api/plants/P/lines/MAIN/delay/shifts?from=2026-01-01&to=2026-06-02')).json()).toMatchObject({ error: { code: 'malformedQuery' } });
    expect((await ask('/api/plants/P/lines/MAIN/delay/shifts?from=2026-06-03&to=2026-06-02')).statusCode).toBe(400);
  });
});
