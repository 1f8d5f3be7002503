import { z } from 'zod';
import type { UnitForecast } from '../core/forecast/summary.ts';
import type { PlanChange } from '../core/forecast/plan-change.ts';
import type { WayBack } from '../core/forecast/compare-plans.ts';
import type { Instant, LocalDate, Minutes } from '../core/units.ts';
import { instant, localDate, name } from './shapes.ts';

/** Changes of one plan at the most. */
export const MOST_CHANGES = 20;

const change = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('overtime'), from: localDate, to: localDate, minutes: z.number().min(1).max(720) }),
  z.object({ kind: z.literal('extraDay'), date: localDate }),
  z.object({ kind: z.literal('sequence'), unit: name, before: name }),
  z.object({ kind: z.literal('clearHold'), unit: name, hold: z.string().min(1).max(200), at: instant }),
  z.object({ kind: z.literal('heads'), station: name, planned: z.number().positive().max(1_000), heads: z.number().positive().max(1_000) }),
  z.object({ kind: z.literal('places'), station: name, places: z.int().min(1).max(1_000) }),
  z.object({ kind: z.literal('standard'), station: name, lessPercent: z.number().min(-100).max(90) }),
]);

/** Body of POST /api/plants/:plant/plans: what the plan does otherwise than today's. Instants in ISO 8601. */
export const plansSchema = z.object({ changes: z.array(change).min(1).max(MOST_CHANGES) });

/** A unit under today's plan and under the changed one. Instants are null where the calendars end before. */
export interface ComparedUnit {
  unit: string;
  line: string;
  promise: LocalDate | null;
  before: ComparedSide;
  after: ComparedSide;
  /** Elapsed minutes by which the middle moves, negative: earlier; null without an end on one side. */
  minutes: Minutes | null;
  /** Change of the probability of missing the promise; null without one. */
  missing: number | null;
}

export interface ComparedSide {
  p10: Instant | null;
  p50: Instant | null;
  p90: Instant | null;
  missing: UnitForecast['missing'];
}

/** Answer of POST /api/plants/:plant/plans: what saves most first. */
export interface PlansReply {
  made: Instant;
  changes: PlanChange[];
  units: ComparedUnit[];
  /** Sum of the probabilities: how many promised units are to be expected late. */
  lateBefore: number;
  lateAfter: number;
}

/** Answer of GET /api/plants/:plant/units/:unit/ways-back; empty where nothing is promised ahead. */
export interface WaysBackReply {
  unit: string;
  wanted: number;
  ways: WayBack[];
}
