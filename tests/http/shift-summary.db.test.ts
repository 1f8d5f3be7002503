import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { lineDelay } from '../../server/core/delay/line-delay.ts';
import { lineHistoryOf } from '../../server/core/facts/line-history-of.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import type { ShiftSummaryReply } from '../../server/contract/shift-summary.ts';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { minute, setupOf } from '../support/given.ts';
import { readXlsx } from '../support/read-xlsx.ts';

/** Day 06:00–14:00 and Late 14:00–22:00, every day; minute 0 is Monday the first of June. */
const everyDay = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const shift = (name: string, start: string, end: string) => ({ name, start, end, breaks: [], weekdays: [...everyDay] });
const plant = wholePlant({ calendars: [{ code: 'always', shifts: [shift('Day', '06:00', '14:00'), shift('Late', '14:00', '22:00')], exceptions: [] }] });
const DAY = 1_440;

const hold = stated(500, 'openHold', { unit: 'A2', reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' });
const stop = stated(520, 'openStop', { station: 'S3', reason: 'Tool broken', note: '' });
const mended = stated(400, 'openAction', { line: 'MAIN', what: 'Mend the hoist', owner: 'Maintenance', due: minute(600) });
const late = stated(410, 'openAction', { line: 'MAIN', what: 'Count steps', owner: 'Stores', due: minute(700) });
const short = stated(395, 'leaveShort', { unit: 'A1', station: 'S1', items: [{ what: 'Door', owner: 'Stores', fitAt: 'S3', expected: minute(600) }] });
const mistake = stated(450, 'openHold', { unit: 'A1', reason: 'Wrong unit', keepsFrom: 'leaving', fromStation: null, note: '' });
const facts: Fact[] = [
  register('A1', { sequence: 1 }), register('A2', { sequence: 2 }), register('A3', { sequence: 3 }),
  stated(361, 'heads', { station: 'S1', heads: 1 }), stated(380, 'loan', { station: 'S2', from: 'S3', heads: 1, until: null }),
  stated(365, 'arrive', { unit: 'A1', station: 'S1' }), stated(394, 'finish', { unit: 'A1', station: 'S1' }), short, stated(396, 'arrive', { unit: 'A1', station: 'S2' }),
  stated(396, 'arrive', { unit: 'A2', station: 'S1' }), stated(430, 'finish', { unit: 'A1', station: 'S2' }), stated(431, 'arrive', { unit: 'A1', station: 'S3' }),
  stated(421, 'finish', { unit: 'A2', station: 'S1' }), stated(432, 'arrive', { unit: 'A2', station: 'S2' }), mistake, stated(455, 'finish', { unit: 'A1', station: 'S3' }), stated(456, 'leave', { unit: 'A1', station: 'S3' }),
  stated(440, 'arrive', { unit: 'A3', station: 'S1' }), hold, stop, stated(530, 'pullOff', { unit: 'A3', reason: 'Damage to repair', to: null }),
  mended, late, stated(405, 'note', { line: 'MAIN', text: 'Hoist is slow' }), stated(406, 'note', { line: 'ROLL', text: 'Of another line' }),
  stated(830, 'closeAction', { line: 'MAIN', action: mended.id, note: 'tried' }),
  // The late shift.
  stated(850, 'note', { line: 'MAIN', text: 'Door came' }), stated(860, 'fitShort', { unit: 'A1', short: short.id, item: 0 }), stated(870, 'clearHold', { unit: 'A2', hold: hold.id, note: '' }),
  stated(880, 'clearStop', { station: 'S3', stop: stop.id, note: '' }), stated(890, 'putBack', { unit: 'A3', station: 'S1' }),
  // Found out the day after.
  stated(DAY + 400, 'void', { fact: mistake.id, reason: 'wrong unit' }),
];

describe('the shift summary', () => {
  let house: TestHouse;
  let headers: Record<string, string>;
  beforeAll(async () => {
    house = await testHouse();
    await house.app.actions.loadPlant(plant, 0, BY);
    headers = (await (await house.enter()).kiosk('badge-1')).headers;
    const replies = await house.app.actions.recordFacts('P', wire(facts));
    expect(replies.replies.filter(({ outcome }) => outcome === 'refused')).toEqual([]);
  });
  afterAll(() => house.close());

  const get = (url: string) => house.app.fastify.inject({ url: `/api/plants/P/lines/${url}`, headers });
  const summary = async (query: string): Promise<ShiftSummaryReply> => (await get(`MAIN/summary?${query}`)).json<ShiftSummaryReply>();

  it('tells a past shift as it stood when the next one began', async () => {
    const { told, previous, next, shifts, date } = await summary('date=2026-06-01&shift=Day');
    expect([date, shifts.map(({ key }) => key), previous?.date, next?.key]).toEqual(['2026-06-01', ['Day', 'Late'], '2026-05-31', 'Late']);
    expect(told).toMatchObject({
      at: minute(840) - 1, current: false,
      offLine: [{ unit: 'A3', reason: 'Damage to repair', since: minute(530) }],
      shorts: [{ unit: 'A1', what: 'Door', owner: 'Stores', fitAt: { code: 'S3' }, leftAt: { code: 'S1' }, expected: minute(600), overdue: true }],
      holds: [{ unit: 'A2', reason: 'Part missing', place: { code: 'S2' }, since: minute(500) }],
      stops: [{ station: { code: 'S3' }, reason: 'Tool broken' }],
      notes: [{ text: 'Hoist is slow', before: false }],
      carried: [{ what: 'Count steps', owner: 'Stores', due: minute(700), overdue: true, closed: null }],
      closed: [{ what: 'Mend the hoist', overdue: true, closed: { at: minute(830), note: 'tried' } }],
    });
    expect(told!.holds[0]!.age).toBeCloseTo(340, 3);
    expect(told!.heads.missing).toMatchObject([{ station: { code: 'S1' }, short: 1, stated: true }, { station: { code: 'S3' }, here: 1, stated: false }]);
    expect(told!.heads).toMatchObject({ stations: 3, notStated: 2, loans: [{ station: { code: 'S2' }, from: { code: 'S3' }, heads: 1 }] });
    expect(told!.counts.map(({ point, shift: { counted, planned }, month }) => [point, counted, planned, month.counted, month.planned])).toEqual(
      ['offLine', 'finished', 'released', 'shipped'].map((point) => [point, point === 'offLine' ? 1 : 0, 32, point === 'offLine' ? 1 : 0, 30 * 64]));
  });

  it('has the line delay that the arithmetic tells, its causes named and adding up', async () => {
    const { delay } = (await summary('date=2026-06-01&shift=Day')).told!;
    const own = lineDelay(lineHistoryOf('MAIN', setupOf(plant), facts), minute(360), minute(840));
    expect(delay.totalMinutes).toBeGreaterThan(100);
    expect(delay).toMatchObject({ lastUnit: own.lastUnit, totalMinutes: own.totalMinutes, lostMinutes: own.lostMinutes, unitMinutesLate: own.unitMinutesLate });
    expect(delay.pushedMinutes + delay.recoveredMinutes).toBeCloseTo(delay.totalMinutes, 6);
    expect(delay.causes[0]).toMatchObject({ kind: 'hold', reason: 'Part missing', station: { code: 'S2' }, units: ['A2'] });
  });

  it('shows the next shift what was open and what was said before it', async () => {
    const { told } = await summary('date=2026-06-01&shift=Late');
    expect(told).toMatchObject({ offLine: [], shorts: [], holds: [], stops: [], closed: [], carried: [{ what: 'Count steps' }] });
    expect(told!.notes.map(({ text, before }) => [text, before])).toEqual([['Door came', false], ['Hoist is slow', true]]);
  });

  it('carries what is not done to the shift now, and says that it is the one', async () => {
    const { told, next, now } = await summary('');
    expect(next).toBe(null);
    expect(told).toMatchObject({ at: now, current: true, notes: [], carried: [{ what: 'Count steps', overdue: true }] });
  });

  it('tells nothing of a shift to come, and each line its own', async () => {
    expect(await summary('date=2090-01-02&shift=Late')).toMatchObject({ shift: { name: 'Late', date: '2090-01-02' }, told: null, next: null });
    expect((await summary('date=2001-01-02&shift=Day')).told).toMatchObject({ holds: [], notes: [], delay: { lastUnit: null, totalMinutes: 0 } });
    const roll = (await get('ROLL/summary?date=2026-06-01&shift=Day')).json<ShiftSummaryReply>();
    expect(roll.told).toMatchObject({ offLine: [], shorts: [], holds: [], stops: [], carried: [], notes: [{ text: 'Of another line' }], delay: { lastUnit: null, causes: [] } });
  });

  it.each([
    ['NONE/summary', 404, 'unknownLine'], ['MAIN/summary?date=soon', 400, 'malformedQuery'], ['MAIN/summary?date=0001-01-01', 400, 'malformedQuery'], ['MAIN/summary?date=2026-06-01&shift=Night', 400, 'malformedQuery'],
    ['MAIN/summary?shift=Day&shift=Late', 400, 'malformedQuery'], ['MAIN/summary.csv', 400, 'malformedQuery'], ['MAIN/summary.xlsx?table=all', 400, 'malformedQuery'],
  ])('refuses %s: %i %s', async (url, status, code) => {
    const reply = await get(url);
    expect([reply.statusCode, reply.json<{ error: { code: string } }>().error.code]).toEqual([status, code]);
  });

  it('gives its tables as CSV and XLSX', async () => {
    const rows = async (table: string): Promise<Record<string, string>[]> => {
      const reply = await get(`MAIN/summary.csv?date=2026-06-01&shift=Day&table=${table}`);
      expect([reply.statusCode, reply.headers['content-type']]).toEqual([200, 'text/csv; charset=utf-8']);
      return parse(reply.body, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    };
    expect((await rows('counts')).map((row) => [row['count_point'], row['shift_counted'], row['shift_planned']])).toContainEqual(['Off the line', '1', '32']);
    expect((await rows('causes'))[0]).toMatchObject({ kind: 'hold', reason: 'Part missing', station: 'S2', units: 'A2' });
    expect((await rows('open')).map((row) => [row['what'], row['serial'], row['reason']])).toEqual([['off line', 'A3', 'Damage to repair'], ['short', 'A1', 'Door'], ['hold', 'A2', 'Part missing'], ['stop', '', 'Tool broken']]);
    expect((await rows('actions')).map((row) => [row['action'], row['overdue'], row['note']])).toEqual([['Count steps', 'yes', ''], ['Mend the hoist', 'yes', 'tried']]);
    const { rawPayload } = await get('MAIN/summary.xlsx?date=2026-06-01&shift=Day&table=actions');
    expect(readXlsx(rawPayload).rows.map((row) => row.get('A'))).toEqual([{ text: 'action' }, { text: 'Count steps' }, { text: 'Mend the hoist' }]);
  });
});
