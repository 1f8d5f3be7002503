import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { toWire } from '../../server/contract/fact-wire.ts';
import type { Visit } from '../../server/core/timeline/visit.ts';
import { aLine, aPlant, aStation } from '../support/given.ts';

const folder = mkdtempSync(join(tmpdir(), 'stationhand-replay-'));
afterAll(() => rmSync(folder, { recursive: true }));
const file = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};

const plant = aPlant(aLine(['S1', 'S2', 'S3'].map((code) => aStation(code))), { S1: 25, S2: 30, S3: 20 });
const plantFile = file('plant.json', JSON.stringify(plant));
const unitsFile = file('units.csv', 'serial;model;options;order;dealer;sequence;planned_release;dealer_wish;promise\r\nU1;M;;SO-1;Dealer 01;1;2026-06-01 00:00;;2026-05-31\r\nU2;M;;SO-2;Dealer 02;2;2026-06-01 00:30;;2026-06-30\r\n');
let counter = 0;
const fact = (time: string, own: Record<string, unknown>): string => {
  counter++;
  const id = `019e7f00-0000-7000-8000-${String(counter).padStart(12, '0')}`;
  return JSON.stringify({ id, happened: `2026-06-01T${time}:00Z`, who: 'badge-1', device: 'kiosk-1', counter, ...own });
};
const factsFile = file('facts.jsonl', [
  fact('00:00', { kind: 'arrive', unit: 'U1', station: 'S1' }), fact('00:25', { kind: 'finish', unit: 'U1', station: 'S1' }), fact('00:27', { kind: 'arrive', unit: 'U1', station: 'S2' }),
  fact('00:30', { kind: 'arrive', unit: 'U2', station: 'S1' }), fact('00:40', { kind: 'arrive', unit: 'U3', station: 'S3' }),
].join('\n'));

const given = fact('00:00', { kind: 'arrive', unit: 'U1', station: 'S1' });

interface Told { lines: { visits: Visit[]; stations: { station: string; starved: number; idle: number }[]; projected: { unit: string; exit: string }[]; lineDelay: unknown }[]; late: { unit: string }[]; flags: { code: string }[] }

function replay(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, ['--import', 'tsx', 'server/replay.ts', ...args], { maxBuffer: 1e8 }, (error, out, err) => resolve({ code: error ? Number(error.code) : 0, out, err }));
  });
}
const whole = (at: string): string[] => ['--plant', plantFile, '--units', unitsFile, '--facts', factsFile, '--at', at];

describe('npm run replay', () => {
  it('tells visits, free minutes, exits, late units and flags of a day from its files', async () => {
    const { code, out } = await replay(...whole('2026-06-01T00:45:00Z'), '--from', '2026-06-01T00:00:00Z');
    expect(code).toBe(0);
    const told = JSON.parse(out) as Told;
    const [line] = told.lines;
    expect(line!.visits.find((visit) => visit.unit === 'U1' && visit.station === 'S1')).toMatchObject({ minutes: { held: 0, blocked: 0, rollLag: 2, stopped: 0, work: 25 }, stationDelay: 2 });
    expect(line!.visits.find((visit) => visit.unit === 'U1' && visit.station === 'S2')).toMatchObject({ state: 'work', minutes: { work: 18 }, left: null });
    expect(line!.stations).toEqual([{ station: 'S1', starved: 0, idle: 3 }, { station: 'S2', starved: 27, idle: 0 }, { station: 'S3', starved: 40, idle: 0 }]);
    // Unit 3 at station 3 leaves at 01:05, unit 1 comes from station 2 at 01:05 (12 left of 30, blocked 8), unit 2 follows.
    expect(line!.projected).toEqual([
      { unit: 'U3', exit: '2026-06-01T00:45:00.000Z' }, { unit: 'U1', exit: '2026-06-01T01:17:00.000Z' }, { unit: 'U2', exit: '2026-06-01T01:47:00.000Z' },
    ]);
    expect(told.late.map(({ unit }) => unit)).toEqual(['U1']);
    expect(told.flags.map((flag) => flag.code)).toEqual(['unknownUnit', 'skippedStations']);
  });

  it('tells line delay of [--from, --at), cause by cause', async () => {
    const { out } = await replay(...whole('2026-06-01T00:38:00Z'), '--from', '2026-05-31T23:00:00Z');
    // Unit 1 went on 2 minutes after it could. Unit 2, due at 01:45, finds station 2 taken until 00:57 instead of 00:55.
    expect((JSON.parse(out) as Told).lines[0]!.lineDelay).toEqual({
      lastUnit: 'U2', totalMinutes: 2, lostMinutes: 0, inPipeMinutes: 2, unitMinutesLate: 4,
      causes: [{ kind: 'rollLag', cause: null, unit: 'U1', station: 'S1', began: '2026-06-01T00:25:00.000Z', localMinutes: 2, lineMinutes: 2 }],
      exits: [{ unit: 'U1', planned: 135, built: 137 }, { unit: 'U2', planned: 165, built: 167 }],
    });
  });

  it('takes a fact that stands twice as one, and a byte order mark and CRLF for nothing', async () => {
    const text = `\ufeff${readFileSync(factsFile, 'utf8').replaceAll('\n', '\r\n')}\r\n${readFileSync(factsFile, 'utf8')}`;
    const { code, out } = await replay('--plant', plantFile, '--units', unitsFile, '--facts', file('twice.jsonl', text), '--at', '2026-06-01T00:45:00Z');
    expect({ code, out }).toEqual({ code: 0, out: (await replay(...whole('2026-06-01T00:45:00Z'))).out });
  });

  it('does not depend on the order of the facts in their file', async () => {
    const first = await replay(...whole('2026-06-01T00:45:00Z'));
    const lines = [fact('00:41', { kind: 'heads', station: 'S1', heads: 2 }), fact('00:42', { kind: 'openStop', station: 'S1', reason: 'Tool broken' })];
    const [forward, backward] = [file('a.jsonl', lines.join('\n')), file('b.jsonl', [...lines].reverse().join('\n'))];
    const args = (facts: string): string[] => ['--plant', plantFile, '--units', unitsFile, '--facts', facts, '--at', '2026-06-01T00:45:00Z'];
    expect((await replay(...args(forward))).out).toBe((await replay(...args(backward))).out);
    expect(first.code).toBe(0);
  });

  it.each([
    ['no argument', [], '--plant is missing'],
    ['an instant that is none', whole('noon'), '--at noon is not an instant'],
    ['a day without its time', whole('2026-06-01'), '--at 2026-06-01 is not an instant'],
    ['a time without its zone', whole('2026-06-01T00:45:00'), 'is not an instant'],
    ['a number', whole('5'), '--at 5 is not an instant'],
    ['two facts of one id', ['--plant', plantFile, '--units', unitsFile, '--facts', file('taken.jsonl', `${given}\n\n${given.replace('S1', 'S2')}\n`), '--at', '2026-06-01T00:45:00Z'], 'taken.jsonl, line 3: the fact of line 1 already has the id'],
    ['a file that is not there', ['--plant', 'nowhere.json', '--units', unitsFile, '--facts', factsFile, '--at', '2026-06-01T00:45:00Z'], 'nowhere.json cannot be read'],
    ['a plant that is none', ['--plant', file('bad.json', '{"code":"P"}'), '--units', unitsFile, '--facts', factsFile, '--at', '2026-06-01T00:45:00Z'], "is not a plant's set-up"],
    ['a unit of no model', ['--plant', plantFile, '--units', file('bad.csv', 'serial,model,sequence\nU9,Z,1\n'), '--facts', factsFile, '--at', '2026-06-01T00:45:00Z'], 'line 2, model: there is no model Z'],
    ['a malformed fact', ['--plant', plantFile, '--units', unitsFile, '--facts', file('bad.jsonl', '\n{"kind":"arrive"}'), '--at', '2026-06-01T00:45:00Z'], 'bad.jsonl, line 2'],
  ])('says what is wrong with %s', async (_, args, words) => {
    const { code, out, err } = await replay(...args);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(words);
    expect(err).not.toMatch(/^\s+at /m);
  });
});

describe('the plant of the examples', () => {
  it('states its facts as the wire has them', () => expect(toWire({ kind: 'roll', line: 'MAIN', id: 'x', happened: 0, told: false, who: 'w', device: 'd', counter: 1 })).toMatchObject({ happened: '1970-01-01T00:00:00.000Z' }));
});
