import { z } from 'zod';
import { instantOfLocal, addDays } from '../core/calendar/zone.ts';
import type { TraceQuery, TraceRow } from '../core/trace/which-units.ts';
import type { UnitStage } from '../core/facts/unit-state.ts';
import type { Instant } from '../core/units.ts';
import { localDate, name, reason } from './shapes.ts';

const said = name.optional();

/** What is asked in an address or a body: days are those of the plant's calendar, both included. */
export const traceSchema = z.object({ part: said, from: said, to: said, lot: said, builtFrom: localDate.optional(), builtTo: localDate.optional() })
  .refine((asked) => Object.values(asked).some((value) => value !== undefined), 'asks for nothing: say a part, numbers, a lot or days');
export type AskedTrace = z.infer<typeof traceSchema>;

/** A campaign over what is asked: its code, what it is about, and what is to be done to each unit. */
export const campaignSchema = z.object({ code: name, title: reason, steps: z.array(reason).min(1).max(20), of: traceSchema });

export function traceQuery(asked: AskedTrace, timeZone: string): TraceQuery {
  const { part = null, from = null, to = null, lot = null, builtFrom, builtTo } = asked;
  return {
    part, from, to, lot, builtFrom: builtFrom === undefined ? null : instantOfLocal(timeZone, builtFrom, '00:00'),
    builtTo: builtTo === undefined ? null : instantOfLocal(timeZone, addDays(builtTo, 1), '00:00'),
  };
}

/** Most rows of one answer. */
export const TRACE_LIMIT = 5_000;

/** Answer of GET /api/plants/:plant/which-units. */
export interface TraceReply {
  rows: TraceRow[];
  /** How many more there are than were told. */
  left: number;
}

export interface CampaignUnit {
  unit: string;
  vin: string | null;
  stage: UnitStage;
  where: string | null;
  dealer: string;
  shipped: Instant | null;
  steps: { text: string; done: { at: Instant; who: string; note: string } | null }[];
}

/** One entry of GET /api/plants/:plant/campaigns. */
export interface CampaignRow {
  campaign: string;
  title: string;
  opened: Instant;
  /** Units on which every step is signed. */
  done: number;
  units: CampaignUnit[];
}
