import { z } from 'zod';
import type { Plant } from '../core/setup/plant.ts';
import { plantProblems } from './plant-checks.ts';
import { localDate, name } from './shapes.ts';

const minutes = z.number().min(0).max(100_000);
const time = z.string().regex(/^(?:(?:[01]\d|2[0-3]):[0-5]\d|24:00)$/, 'must be a time of day such as 06:30');
const pause = z.object({ start: time, end: time });
const shift = { name, start: time, end: time, breaks: z.array(pause).default([]) };
const weekday = z.enum(['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun']);

const calendar = z.object({
  code: name,
  shifts: z.array(z.object({ ...shift, weekdays: z.array(weekday).min(1) })),
  exceptions: z.array(z.object({
    date: localDate, kind: z.enum(['closed', 'shortDay', 'overtime']), shifts: z.array(z.object(shift)).default([]), note: z.string().max(500).default(''),
  })).default([]),
});

const station = z.object({
  code: name, name, kind: z.enum(['build', 'check', 'test', 'staging', 'outside', 'repairBay', 'yard']), hall: name, floor: name.nullable().default(null),
  capacity: z.int().min(1).max(10_000).nullable().default(null), placeLength: z.number().positive().max(10_000).nullable().default(null),
  unitsMayPass: z.boolean().optional(), plannedHeads: z.number().min(0).max(1_000).default(0), calendar: name.nullable().default(null),
}).transform((value) => ({ ...value, unitsMayPass: value.unitsMayPass ?? value.placeLength === null }));

/** The set-up of a plant as one JSON document; its output is the core's `Plant`. Published as JSON Schema in seed/plant.schema.json. */
export const plantSchema = z.object({
  $schema: z.string().optional(),
  code: name.regex(/^[A-Za-z0-9_-]+$/, 'must be of letters, digits, - and _'),
  name, timeZone: name,
  halls: z.array(z.object({ code: name, name, floors: z.array(z.object({ code: name, name })).default([]) })).min(1),
  calendars: z.array(calendar).min(1),
  lines: z.array(z.object({
    code: name, name, purpose: z.enum(['main', 'inspection', 'feeder']), roll: z.enum(['asReady', 'together']), calendar: name, pace: z.number().positive().max(100_000),
    stations: z.array(station).min(1).max(500),
  })).min(1),
  places: z.array(station).default([]),
  models: z.array(z.object({ code: name, name, length: z.number().positive().max(100), standards: z.record(name, minutes) })).min(1),
  options: z.array(z.object({ code: name, name, minutes: z.record(name, minutes).default({}) })).default([]),
  countPoints: z.array(z.object({ code: name, name, event: z.enum(['offLine', 'finished', 'released', 'shipped']), station: name.nullable().default(null) })).min(1).max(20).optional(),
}).superRefine((plant, context) => {
  for (const { path, message } of plantProblems(plant)) context.addIssue({ code: 'custom', path, message });
}).transform(({ $schema: _, ...plant }): Plant => plant);
