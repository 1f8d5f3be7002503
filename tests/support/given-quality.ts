import type { Plant } from '../../server/core/setup/plant.ts';
import type { Check, CheckItem, PartKind } from '../../server/core/setup/quality.ts';
import { aLine, aPlant, aStation, at } from './given.ts';

const item = { zone: null, severity: 'major' as const };
export const yesNo = (code: string, zone: string | null = null): CheckItem => ({ ...item, zone, code, text: `Is ${code} right?`, kind: 'yesNo' });
export const measured = (code: string, low: number | null, high: number | null, confirmed = true): CheckItem =>
  ({ ...item, code, text: `Reading of ${code}`, kind: 'measured', unit: 'kPa', low, high, confirmed: confirmed ? { who: 'quality', when: '2026-01-05', edition: 'Example, first edition' } : null });
export const choice = (code: string): CheckItem =>
  ({ ...item, code, text: `State of ${code}`, kind: 'choice', choices: [{ text: 'whole', passes: true }, { text: 'scratched', passes: true }, { text: 'torn', passes: false }] });

export function aCheck(code: string, station: string, more: Partial<Check> = {}): Check {
  return { code, name: `Check ${code}`, version: 1, station, zones: [], maxAgeHours: null, certification: false, caution: '', items: [yesNo('one')], ...more };
}

export const aPart = (code: string, station: string, more: Partial<PartKind> = {}): PartKind => ({ code, name: `Part ${code}`, station, zone: null, lot: false, ...more });

/** A plant of three stations: B closes the wall, C the roof; a check at B that looks at the wall, one at C, the label's; an axle; papers. */
export function qualityPlant(more: Partial<Plant> = {}): Plant {
  const line = aLine([aStation('A'), aStation('B', { covers: ['wall'] }), aStation('C', { covers: ['roof'] })]);
  return aPlant(line, { A: 25, B: 30, C: 20 }, {
    zones: [{ code: 'wall', name: 'Wall cavity' }, { code: 'roof', name: 'Roof cavity' }, { code: 'floor', name: 'Under floor' }],
    checks: [
      aCheck('LEAK', 'B', { zones: ['wall'], items: [yesNo('dry', 'wall'), measured('pressure', 10, 20)] }),
      aCheck('LABEL', 'C', { certification: true }), aCheck('FINAL', 'C', { maxAgeHours: 2 }),
    ],
    partKinds: [aPart('AXLE', 'A', { zone: 'floor' })], releaseItems: [{ code: 'PAPERS', name: 'Papers' }], ...more,
  });
}

const U = 'CF1';
export const find = (m: number, zone: string | null = 'wall') => at(m, 'findWork', { unit: U, what: 'Screw missing', zone, severity: 'major', belongsTo: 'A' });
export const fix = (m: number, work: string) => at(m, 'fixWork', { unit: U, work, note: '' });
export const verify = (m: number, work: string) => at(m, 'verifyWork', { unit: U, work, note: '' }, { who: 'badge-2' });
export const reopen = (m: number, work: string) => at(m, 'reopenWork', { unit: U, work, reason: 'Loose again' });
export const cover = (m: number, station: string, ...zones: string[]) => at(m, 'coverZones', { unit: U, station, zones });
export const leak = (m: number, dry: boolean, pressure: number) =>
  at(m, 'checkResult', { unit: U, check: 'LEAK', version: 1, results: [{ item: 'dry', value: dry, judged: null }, { item: 'pressure', value: pressure, judged: null }] });
export const one = (m: number, check: string, value = true) => at(m, 'checkResult', { unit: U, check, version: 1, results: [{ item: 'one', value, judged: null }] });
export const record = (m: number, part = 'AXLE') => at(m, 'recordPart', { unit: U, part, number: 'N-1', lot: '' });
export const settle = (m: number, settled = true) => at(m, 'settleItem', { unit: U, item: 'PAPERS', settled, note: '' });
export const release = (m: number) => at(m, 'release', { unit: U });
/** Everything that the plant above wants before a release, done in minutes 10 to 15. */
export const allDone = () => [leak(10, true, 15), one(11, 'LABEL'), one(12, 'FINAL'), record(13), settle(14), at(15, 'park', { unit: U, place: 'YARD', slot: '1' })];
