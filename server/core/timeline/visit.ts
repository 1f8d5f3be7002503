import type { Instant, Minutes } from '../units.ts';
import type { LeftHow } from './line-history.ts';

/** The minutes of a visit, each working minute in exactly one (definitions §3). `waiting = blocked + rollLag`. */
export interface VisitMinutes {
  held: Minutes;
  blocked: Minutes;
  rollLag: Minutes;
  stopped: Minutes;
  work: Minutes;
}

export type VisitMinuteState = keyof VisitMinutes;

/** One stay at a station with its minutes. A missed station has `notScanned` and no instants or minutes. */
export interface Visit {
  unit: string;
  line: string;
  station: string;
  notScanned: boolean;
  arrived: Instant | null;
  finished: Instant | null;
  finishAssumed: boolean;
  left: Instant | null;
  leftHow: LeftHow | null;
  /** The visit is open, or its period holds an open one without finish. */
  provisional: boolean;
  standard: Minutes;
  minutes: VisitMinutes;
  dwell: Minutes;
  /** Wall-clock minutes from arrival to leave, or to the instant asked for. */
  elapsed: Minutes;
  stationDelay: Minutes;
  recovered: Minutes;
  /** What an open visit spends its minutes on at the instant asked for; null once left. */
  state: VisitMinuteState | null;
  /** Held and stopped minutes by the hold or stop that owns them. */
  causes: { id: string; kind: 'hold' | 'stop'; minutes: Minutes }[];
}
