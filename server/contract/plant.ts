import { z } from 'zod';
import type { Plant } from '../core/setup/plant.ts';
import { labels } from './label-setup.ts';
import { plantProblems } from './plant-checks.ts';
import { checks, partKinds, releaseItems, vinMakeUp, zones } from './quality-setup.ts';
import { localDate, name } from './shapes.ts';

const minutes = z.number().min(0).max(100_000);
const probability = z.number().min(0.01).max(0.99);
const time = z.string().regex(/^(?:(?:[01]\d|2[0-3]):[0-5]\d|24:00)$/, 'must be a time of day such as 06:30').describe('Local wall clock, such as 06:30');
const pause = z.strictObject({ start: time, end: time });
const shift = {
  name: name.describe('Day, Second, Saturday …'), start: time, end: time.describe('Local wall clock. Not after start: the shift crosses midnight and belongs to the day it starts on'),
  breaks: z.array(pause).default([]).describe('Unpaid or paid, no work is done in them'),
};
const weekday = z.enum(['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun']);

const calendar = z.strictObject({
  code: name,
  shifts: z.array(z.strictObject({ ...shift, weekdays: z.array(weekday).min(1) })).describe('The shifts of every week'),
  exceptions: z.array(z.strictObject({
    date: localDate, kind: z.enum(['closed', 'shortDay', 'overtime']).describe('closed: no shift that day. shortDay: shifts instead of the weekly ones. overtime: shifts besides them'),
    shifts: z.array(z.strictObject(shift)).default([]), note: z.string().max(500).default(''),
  })).default([]).describe('Single days. Nothing is closed unless one of these says so'),
});

const station = z.strictObject({
  code: name.describe('Used once in the plant, over lines and places'), name: name.describe('As the floor calls it'),
  kind: z.enum(['build', 'check', 'test', 'staging', 'outside', 'repairBay', 'yard']).describe('What is done there'),
  hall: name.describe('Code of a hall'), floor: name.nullable().default(null).describe('Code of a floor of that hall'),
  capacity: z.int().min(1).max(10_000).nullable().default(null).describe('Places for units; or give placeLength'),
  placeLength: z.number().positive().max(10_000).nullable().default(null).describe('Metres of floor for units, measured by the length of their model; or give capacity'),
  unitsMayPass: z.boolean().optional().describe('Whether a finished unit may leave before one that came before it. Left out: yes where capacity counts, no where length does'),
  plannedHeads: z.number().min(0).max(1_000).default(0).describe('Standard crew. Halves where two stations share a person'),
  calendar: name.nullable().default(null).describe("Code of the station's own calendar; left out, it follows its line's"),
  covers: z.array(name).optional().describe('Codes of the zones that it closes; covering is stated there, not meant by an arrival'),
}).transform((value) => ({ ...value, unitsMayPass: value.unitsMayPass ?? value.placeLength === null }));

const line = z.strictObject({
  code: name, name, purpose: z.enum(['main', 'inspection', 'feeder']).describe('main: the unit is built on it. inspection: comes after. feeder: builds a part of a unit'),
  roll: z.enum(['asReady', 'together']).describe('asReady: each unit moves when it can. together: one roll moves every unit one place'),
  calendar: name.describe('Code of the calendar the line works by'),
  pace: z.number().positive().max(100_000).describe('Working minutes from one planned release to the next, for units without a planned release'),
  stations: z.array(station).min(1).max(500).describe('In the order in which units pass them'),
});

const model = z.strictObject({
  code: name, name, length: z.number().positive().max(100).describe('Metres over everything'),
  standards: z.record(name, minutes).describe('Standard minutes by station code, at the standard crew. A station without an entry is not on the route'),
});

const option = z.strictObject({
  code: name, name, minutes: z.record(name, minutes).default({}).describe('Minutes it adds, by station code. An entry puts the station on the route'),
});

const countPoint = z.strictObject({
  code: name, name, event: z.enum(['offLine', 'finished', 'released', 'shipped']),
  station: name.nullable().default(null).describe('Of a line; null: the last of the route. Released and shipped have none'),
});

const codePattern = z.string().min(1).max(200).refine(isPattern, 'must be what codes begin with, or between slashes a regular expression such as /^CF[0-9]{6}$/');
const codePatterns = z.array(codePattern).max(20).optional();

/** The set-up of a plant as one JSON document; its output is the core's `Plant`. Published as JSON Schema in seed/plant.schema.json. */
export const plantSchema = z.strictObject({
  $schema: z.string().optional(),
  code: name.regex(/^[A-Za-z0-9_-]+$/, 'must be of letters, digits, - and _').describe('Stands in every address of the plant'),
  name, timeZone: name.describe('IANA zone, such as America/Indiana/Indianapolis'),
  halls: z.array(z.strictObject({ code: name, name, floors: z.array(z.strictObject({ code: name, name })).default([]) })).min(1).describe('Halls and yards, as the building lies'),
  calendars: z.array(calendar).min(1),
  lines: z.array(line).min(1),
  places: z.array(station).default([]).describe('Outside every line: repair bays and yard places'),
  models: z.array(model).min(1),
  options: z.array(option).default([]),
  lateThreshold: probability.optional().describe('Above this probability of missing its promise a unit is at risk; absent: 0.2'),
  wantedProbability: probability.optional().describe('With this probability one wants a promise made, for the times by which holds must be cleared; absent: 0.8'),
  countPoints: z.array(countPoint).min(1).max(20).optional().describe('Where units are counted; absent: once for each event'),
  vin: vinMakeUp, zones, checks, partKinds, releaseItems, labels,
  codes: z.strictObject({ badge: codePatterns, unit: codePatterns, component: codePatterns }).optional()
    .describe('How scanned codes are told apart: for each sort what they begin with, or a regular expression between slashes whose group code is the code itself'),
}).superRefine((plant, context) => {
  for (const { path, message } of plantProblems(plant)) context.addIssue({ code: 'custom', path, message });
}).transform(({ $schema: _, ...plant }): Plant => plant);

/** The document's form as JSON Schema (draft 2020-12), with what every entry means. */
export function plantJsonSchema(): Record<string, unknown> {
  return { title: 'Set-up of a plant', ...z.toJSONSchema(plantSchema, { io: 'input', unrepresentable: 'any' }) };
}

function isPattern(pattern: string): boolean {
  if (!pattern.startsWith('/') || !pattern.endsWith('/') || pattern.length < 3) return !pattern.startsWith('/');
  try {
    new RegExp(pattern.slice(1, -1));
    return true;
  } catch {
    return false;
  }
}
