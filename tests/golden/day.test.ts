import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { DAY_BEGINS, DAY_ENDS } from './day.ts';

/*
 * One day of the demo plant, told by `npm run replay` and kept as a file. A change to it is a change to what every screen and report says:
 * read the difference line by line, and where it is meant, renew the file with
 *   npx vitest run --config tests/vitest.config.ts --project unit tests/golden --update
 * and say in the commit which definition makes it right. The day's plant and facts are files too: see state-day.ts.
 */
const folder = mkdtempSync(join(tmpdir(), 'stationhand-golden-'));
afterAll(() => rmSync(folder, { recursive: true }));

const kept = (name: string): string => fileURLToPath(new URL(`./${name}`, import.meta.url));

interface Told {
  at: string; from: string; late: unknown[]; flags: { code: string }[];
  lines: { line: string; visits: { notScanned: boolean; dwell: number; minutes: Record<string, number> }[]; stations: unknown[]; projected: unknown[] }[];
}

function told(facts: string): Told {
  const units = join(folder, 'units.csv');
  // The units are registered by the day's own facts.
  writeFileSync(units, 'serial;model;options;order;dealer;sequence;planned_release;dealer_wish;promise\r\n');
  const instants = ['--at', new Date(DAY_ENDS).toISOString(), '--from', new Date(DAY_BEGINS).toISOString()];
  const args = ['--import', 'tsx', 'server/replay.ts', '--plant', kept('day.plant.json'), '--units', units, '--facts', facts, ...instants];
  return JSON.parse(execFileSync(process.execPath, args, { encoding: 'utf8', maxBuffer: 1e8, cwd: kept('../../') })) as Told;
}

/** One visit, station, exit, late unit or flag a line, so that a difference shows which one changed. */
function inLines({ at, from, lines, late, flags }: Told): string {
  const entries: unknown[] = [{ at, from }];
  for (const { line, visits, stations, projected } of lines) {
    for (const visit of visits) entries.push({ visit });
    for (const station of stations) entries.push({ line, station });
    for (const exit of projected) entries.push({ line, exit });
  }
  for (const unit of late) entries.push({ late: unit });
  for (const flag of flags) entries.push({ flag });
  return entries.map((entry) => `${JSON.stringify(entry, (_, value: unknown) => (typeof value === 'number' ? Math.round(value * 1e6) / 1e6 : value))}\n`).join('');
}

describe('a day of the demo plant', () => {
  const day = told(kept('day.facts.jsonl'));

  it('is told as it was told before', async () => {
    await expect(inLines(day)).toMatchFileSnapshot('./day.told.jsonl');
  });

  it('has in it what is worth holding on to', () => {
    const visits = day.lines.flatMap((line) => line.visits);
    const sum = (state: string): number => visits.reduce((total, visit) => total + visit.minutes[state]!, 0);
    for (const state of ['held', 'blocked', 'rollLag', 'stopped', 'work']) expect(sum(state)).toBeGreaterThan(10);
    expect(sum('held') + sum('blocked') + sum('rollLag') + sum('stopped') + sum('work')).toBeCloseTo(visits.reduce((total, { dwell }) => total + dwell, 0), 3);
    expect(visits.length).toBeGreaterThan(150);
    expect(day.flags.map(({ code }) => code)).toEqual(expect.arrayContaining(['unknownUnit', 'skippedStations', 'stationFull']));
  });

  it('is told the same from its facts in another order, each stated twice', () => {
    const facts = readFileSync(kept('day.facts.jsonl'), 'utf8').trimEnd().split('\n');
    const shuffled = join(folder, 'facts.jsonl');
    writeFileSync(shuffled, [...facts.filter((_, i) => i % 3 === 1), ...[...facts].reverse()].join('\n'));
    expect(inLines(told(shuffled))).toBe(inLines(day));
  });
});
