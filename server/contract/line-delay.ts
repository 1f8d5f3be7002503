import type { DelayCause } from '../core/delay/line-delay.ts';
import type { DelaySums } from '../core/delay/line-delay-by-shift.ts';
import type { Instant, LocalDate, Minutes } from '../core/units.ts';

/** A cause of line delay with the reason a person gave for it: empty where the kind says it all. */
export interface NamedCause extends DelayCause {
  reason: string;
}

/** What every cause at one station of one kind and reason cost the line together; negative minutes were recovered. */
export interface StationCost {
  station: string | null;
  kind: DelayCause['kind'];
  reason: string;
  lineMinutes: Minutes;
  units: string[];
}

/** Line delay of the shift that runs, or of the last one (definitions §5): GET /api/plants/:plant/lines/:line/delay. */
export interface LineDelayReply extends DelaySums {
  /** Number of the last fact in it. */
  version: number;
  line: string;
  from: Instant;
  to: Instant;
  shift: string;
  date: LocalDate;
  /** The unit by whose exit it is told; null when there is none, and then all is 0. */
  lastUnit: string | null;
  /** In the order of beginning; they add up to the total. */
  causes: NamedCause[];
  /** The dearest first. */
  costs: StationCost[];
}

/** Line delay of every shift of a period, of its days, and of all of it: GET /api/plants/:plant/lines/:line/delay/shifts. */
export interface ShiftDelaysReply {
  version: number;
  line: string;
  shifts: (DelaySums & { date: LocalDate; shift: string; costs: StationCost[] })[];
  days: (DelaySums & { date: LocalDate })[];
  whole: DelaySums;
}

/** Groups causes by station, kind and reason, the dearest first; what cost nothing is left out. */
export function stationCosts(causes: readonly NamedCause[]): StationCost[] {
  const costs = new Map<string, StationCost>();
  for (const { station, kind, reason, unit, lineMinutes } of causes) {
    const key = JSON.stringify([station, kind, reason]);
    const cost = costs.get(key) ?? { station, kind, reason, lineMinutes: 0, units: [] };
    costs.set(key, { ...cost, lineMinutes: cost.lineMinutes + lineMinutes, units: unit === null || cost.units.includes(unit) ? cost.units : [...cost.units, unit] });
  }
  return [...costs.values()].filter(({ lineMinutes }) => Math.abs(lineMinutes) > 1e-9)
    .sort((a, b) => b.lineMinutes - a.lineMinutes || ((a.station ?? '') < (b.station ?? '') ? -1 : 1));
}
