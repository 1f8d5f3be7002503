import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { describe, expect, it } from 'vitest';
import { plantJsonSchema, plantSchema } from '../../server/contract/plant.ts';

type Document = Record<string, unknown> & { lines: { calendar: string; stations: Record<string, unknown>[] }[]; models: { standards: Record<string, number> }[] };
const demo = (): Document => JSON.parse(readFileSync(new URL('../../seed/plant.json', import.meta.url), 'utf8')) as Document;
const wrongIn = (change: (plant: Document) => void): { path: PropertyKey[]; message: string }[] => {
  const plant = demo();
  change(plant);
  return plantSchema.safeParse(plant).error?.issues.map(({ path, message }) => ({ path, message })) ?? [];
};

describe('the set-up of a plant', () => {
  it('of the demo is sound: 24 to 30 stations, three models, two lines', () => {
    const plant = plantSchema.parse(demo());
    const stations = plant.lines.flatMap((line) => line.stations);
    expect(stations.length).toBeGreaterThanOrEqual(24);
    expect(stations.length).toBeLessThanOrEqual(30);
    expect(plant.models.map((model) => model.name)).toEqual(['Larkfoot 24', 'Larkfoot 29', 'Larkfoot 36']);
    expect(plant.lines.map((line) => line.purpose)).toEqual(['main', 'inspection']);
  });

  it('lets units pass where places are counted, not where they stand one behind the other by length', () => {
    const stations = plantSchema.parse(demo()).lines[0]!.stations;
    expect(stations.find((station) => station.placeLength !== null)?.unitsMayPass).toBe(false);
    expect(stations.find((station) => station.capacity !== null)?.unitsMayPass).toBe(true);
  });

  it('may say what its labels look like: what codes begin with, or regular expressions', () => {
    const codes = { badge: ['BADGE-', '/^E(?<code>\\d{4})$/'], unit: ['/^CF\\d{6}$/'] };
    expect(plantSchema.parse({ ...demo(), codes }).codes).toEqual(codes);
    expect(plantSchema.parse(demo()).codes).toBeUndefined();
    expect(wrongIn((plant) => (plant['codes'] = { unit: ['/(/'] }))).toMatchObject([{ path: ['codes', 'unit', 0] }]);
    expect(wrongIn((plant) => (plant['codes'] = { badge: ['/'] }))).toMatchObject([{ path: ['codes', 'badge', 0] }]);
  });

  it('says what cannot be, and where', () => {
    expect(wrongIn((plant) => (plant.lines[0]!.calendar = 'night'))).toEqual([{ path: ['lines', 0, 'calendar'], message: 'there is no calendar night' }]);
    expect(wrongIn((plant) => (plant.lines[0]!.stations[1]!['code'] = 'CH10')).map(({ path }) => path.slice(0, 4))).toContainEqual(['lines', 0, 'stations', 1]);
    expect(wrongIn((plant) => (plant['timeZone'] = 'Mars/Base'))[0]).toMatchObject({ path: ['timeZone'] });
    expect(wrongIn((plant) => (plant.models[0]!.standards['ZZ'] = 5))).toEqual([{ path: ['models', 0, 'standards', 'ZZ'], message: 'there is no station ZZ' }]);
    expect(wrongIn((plant) => (plant.lines[0]!.stations[0]!['capacity'] = null))[0]?.message).toContain('exactly one');
    expect(wrongIn((plant) => (plant.lines[0]!.stations[0]!['hall'] = 'H9'))[0]?.message).toBe('there is no hall H9');
  });

  it('names an entry that it does not know, so that a misspelt one is not lost without a word', () => {
    expect(wrongIn((plant) => (plant.lines[0]!.stations[0]!['capacty'] = 2))).toEqual([{ path: ['lines', 0, 'stations', 0], message: 'Unrecognized key: "capacty"' }]);
    expect(wrongIn((plant) => (plant['chekcs'] = []))).toEqual([{ path: [], message: 'Unrecognized key: "chekcs"' }]);
  });

  it.each([
    ['06:00', '14:30', '09:00', '09:15', true], ['06:00', '14:30', '06:00', '06:10', true], ['06:00', '14:30', '14:20', '14:30', true], ['06:00', '14:30', '05:50', '06:00', false],
    ['06:00', '14:30', '14:20', '14:40', false], ['06:00', '14:30', '03:00', '03:30', false], ['06:00', '14:30', '09:15', '09:00', false],
    ['22:00', '06:00', '23:50', '00:20', true], ['22:00', '06:00', '02:00', '02:30', true], ['22:00', '06:00', '05:50', '06:10', false], ['22:00', '06:00', '12:00', '12:30', false],
    ['16:00', '24:00', '23:30', '24:00', true], ['06:00', '06:00', '02:00', '02:30', true],
  ])('a shift from %s to %s with a break from %s to %s: sound %s', (start, end, from, to, sound) => {
    const shift = { name: 'Day', start, end, breaks: [{ start: from, end: to }] };
    const calendars = (more: object) => [{ code: 'day', shifts: [], ...more }, { code: 'touchup', shifts: [] }];
    const paths = (more: object) => wrongIn((plant) => (plant['calendars'] = calendars(more))).map(({ path }) => path.join('.'));
    expect(paths({ shifts: [{ ...shift, weekdays: ['mon'] }] })).toEqual(sound ? [] : ['calendars.0.shifts.0.breaks.0']);
    expect(paths({ exceptions: [{ date: '2026-12-05', kind: 'overtime', shifts: [shift] }] })).toEqual(sound ? [] : ['calendars.0.exceptions.0.shifts.0.breaks.0']);
  });

  it('of before there were count points stays sound, and says what cannot be counted where', () => {
    const { countPoints: _, ...before } = demo() as Document & { countPoints: unknown };
    expect(plantSchema.parse(before).countPoints).toBeUndefined();
    const counting = (event: string, station: string | null) => wrongIn((plant) => (plant['countPoints'] = [{ code: 'X', name: 'X', event, station }])).map(({ path, message }) => [path.join('.'), message]);
    expect(counting('offLine', 'LK10')).toEqual([]);
    expect(counting('finished', 'ZZ')).toEqual([['countPoints.0.station', 'no line has a station ZZ']]);
    expect(counting('shipped', 'LK10')).toEqual([['countPoints.0.station', 'shipped is said by the office and has no station']]);
    expect(wrongIn((plant) => (plant['countPoints'] = ['X', 'X'].map((code) => ({ code, name: 'X', event: 'shipped' })))).map(({ path }) => path)).toEqual([['countPoints', 1, 'code']]);
  });
});

describe('quality in the set-up', () => {
  // Without the demo's own checks nothing signs its labels: then they go too (tests/contract/label-setup.test.ts).
  const said = (change: (plant: Record<string, unknown>) => void) => wrongIn((plant) => {
    change(plant);
    if (!JSON.stringify(plant['checks']).includes('"label"')) delete plant['labels'];
  }).map(({ path, message }) => [path.join('.'), message]);
  const measured = { code: 'P', text: 'Pressure', kind: 'measured', unit: 'kPa', low: 1, high: 2 };
  const check = (more: object) => ({ code: 'K', name: 'Check', version: 1, station: 'PL20', items: [measured], ...more });

  it('may be left out: a plant of before stays sound', () => {
    const { vin: _v, zones: _z, checks: _c, partKinds: _p, releaseItems: _r, labels: _l, ...before } = demo();
    for (const line of before.lines) for (const station of line.stations) delete station['covers'];
    const plant = plantSchema.parse(before);
    expect([plant.vin, plant.zones, plant.checks, plant.partKinds, plant.releaseItems, plant.labels]).toEqual(Array(6).fill(undefined));
  });

  it('says which zone, station, model or option there is not', () => {
    expect(said((plant) => (plant['checks'] = [check({ station: 'ZZ', zones: ['nowhere'], models: ['LF99'], options: ['POOL'] })]))).toEqual([
      ['checks.0.station', 'there is no station ZZ'], ['checks.0.models.0', 'there is no model LF99'], ['checks.0.options.0', 'there is no option POOL'], ['checks.0.zones.0', 'there is no zone nowhere'],
    ]);
    expect(said((plant) => (plant['partKinds'] = [{ code: 'AXLE', name: 'Axle', station: 'CH20', zone: 'nowhere' }]))).toEqual([['partKinds.0.zone', 'there is no zone nowhere']]);
    expect(said((plant) => ((plant as Document).lines[0]!.stations[0]!['covers'] = ['nowhere']))).toEqual([['lines.0.stations.0.covers.0', 'there is no zone nowhere']]);
  });

  it('says what no checklist can be', () => {
    expect(said((plant) => (plant['checks'] = [check({}), check({})]))).toEqual([['checks.1.code', 'K stands twice; every code is used once']]);
    expect(said((plant) => (plant['checks'] = [check({ items: [measured, measured] })]))).toEqual([['checks.0.items.1.code', 'P stands twice in the check']]);
    expect(said((plant) => (plant['checks'] = [check({ items: [{ ...measured, low: 3 }] })]))).toEqual([['checks.0.items.0.low', 'is greater than high']]);
    const choice = { code: 'C', text: 'Seal', kind: 'choice', choices: [{ text: 'torn', passes: false }, { text: 'loose', passes: false }] };
    expect(said((plant) => (plant['checks'] = [check({ items: [choice] })]))).toEqual([['checks.0.items.0.choices', 'none of them passes']]);
  });

  it('takes limits for unconfirmed until somebody confirmed them', () => {
    const plant = plantSchema.parse({ ...demo(), labels: undefined, checks: [check({})] });
    expect(plant.checks![0]!.items[0]).toMatchObject({ confirmed: null, severity: 'major', zone: null });
  });

  it('says what no VIN can be made up of', () => {
    const vin = { manufacturer: '0ZZ', descriptors: { LF24: 'TB242' }, modelYear: 2027, plant: '0' };
    expect(said((plant) => (plant['vin'] = vin))).toEqual([]);
    expect(said((plant) => (plant['vin'] = { ...vin, manufacturer: '0Z9' }))[0]![1]).toContain('6 characters');
    expect(said((plant) => (plant['vin'] = { ...vin, descriptors: { LF24: 'TBO42' } }))[0]![1]).toContain('LF24');
    expect(said((plant) => (plant['vin'] = { ...vin, descriptors: { LF99: 'TB242' } }))).toEqual([['vin.descriptors.LF99', 'there is no model LF99']]);
  });
});

describe('the published schema', () => {
  const published = JSON.parse(readFileSync(new URL('../../seed/plant.schema.json', import.meta.url), 'utf8')) as Record<string, unknown>;
  const ajv = addFormats(new Ajv2020({ strict: false }));

  it('is what the program reads by: npm run plant-schema > seed/plant.schema.json', () => {
    expect(published).toEqual(JSON.parse(JSON.stringify(plantJsonSchema())));
  });

  // An independent validator of JSON Schema, draft 2020-12.
  it('lets the demo plant pass, and nothing without stations or with a shift at 25 o\'clock', () => {
    const valid = ajv.compile(published);
    expect(valid(demo()), JSON.stringify(valid.errors)).toBe(true);
    expect(valid({ ...demo(), lines: [{ ...demo().lines[0]!, stations: [] }] })).toBe(false);
    expect(valid({ ...demo(), calendars: [{ code: 'c', shifts: [{ name: 'Day', start: '25:00', end: '30:00', weekdays: ['mon'] }] }] })).toBe(false);
  });

  it('says what every entry means that its name does not', () => {
    const told = JSON.stringify(published);
    for (const entry of ['pace', 'placeLength', 'unitsMayPass', 'standards', 'exceptions', 'timeZone']) expect(told).toMatch(new RegExp(`"${entry}":\\{[^]*?"description":`));
  });
});
