import type { NamedShift } from '../core/calendar/shift-choice.ts';
import type { OrderedCause } from '../core/delay/causes-in-order.ts';
import type { KeepsFrom } from '../core/facts/fact.ts';
import type { ShiftCount } from '../core/rates/shift-counts.ts';
import type { ParetoRow } from '../core/rates/pareto.ts';
import type { Instant, LocalDate, Minutes } from '../core/units.ts';

/** Answer of GET /api/plants/:plant/lines/:line/summary: a shift of a line on one page (definitions §3–5, §7). */
export interface ShiftSummaryReply {
  /** Number of the plant's last fact in it. */
  version: number;
  /** The server's instant of the answer. */
  now: Instant;
  plant: { code: string; name: string; timeZone: string };
  line: { code: string; name: string };
  /** Every line of the plant, to choose from. */
  lines: { code: string; name: string }[];
  /** The date asked for, or that of the shift. */
  date: LocalDate;
  /** Null on a date without a shift. */
  shift: NamedShift | null;
  shifts: NamedShift[];
  previous: NamedShift | null;
  next: NamedShift | null;
  /** Null where there is no shift, or it has not begun. */
  told: ToldShift | null;
}

/** Everything is told as it stood at `at`, by what is known now. Ages are working minutes where it is. */
export interface ToldShift {
  /** Now, or the last instant before the next shift of the line. */
  at: Instant;
  /** Whether no later shift of the line has begun: what is stated now belongs to this page. */
  current: boolean;
  counts: ShiftCount[];
  delay: ToldDelay;
  offLine: OffLineRow[];
  shorts: ShortRow[];
  heads: { missing: HeadsRow[]; stations: number; notStated: number; loans: LoanRow[] };
  holds: HoldRow[];
  stops: StopOpenRow[];
  notes: NoteRow[];
  /** Open at `at`: overdue first, then by due time. */
  carried: ActionRow[];
  /** Closed in the shift. */
  closed: ActionRow[];
}

/** A station by code and name; of a place too. */
export interface Named {
  code: string;
  name: string;
}

export interface ToldDelay {
  /** The unit by whose exit it is told; null when none was released. */
  lastUnit: string | null;
  totalMinutes: Minutes;
  lostMinutes: Minutes;
  inPipeMinutes: Minutes;
  unitMinutesLate: Minutes;
  pushedMinutes: Minutes;
  recoveredMinutes: Minutes;
  /** In Pareto order. */
  causes: (ParetoRow<Omit<OrderedCause, 'station' | 'label'>> & { station: Named | null })[];
}

export interface OffLineRow {
  unit: string;
  model: string;
  reason: string;
  place: Named | null;
  since: Instant;
  age: Minutes;
}

export interface ShortRow {
  unit: string;
  what: string;
  owner: string;
  fitAt: Named | null;
  expected: Instant | null;
  /** Expected before `ToldShift.at`, and not there. */
  overdue: boolean;
  leftAt: Named;
  since: Instant;
  age: Minutes;
}

export interface HeadsRow {
  station: Named;
  planned: number;
  here: number;
  short: number;
  stated: boolean;
}

export interface LoanRow {
  station: Named;
  from: Named | null;
  heads: number;
  since: Instant;
  until: Instant | null;
}

export interface HoldRow {
  id: string;
  unit: string;
  reason: string;
  keepsFrom: KeepsFrom;
  fromStation: string | null;
  place: Named | null;
  since: Instant;
  age: Minutes;
}

export interface StopOpenRow {
  id: string;
  station: Named;
  reason: string;
  note: string;
  since: Instant;
  age: Minutes;
}

export interface NoteRow {
  id: string;
  text: string;
  who: string;
  happened: Instant;
  /** Stated before this shift began, in the one before. */
  before: boolean;
}

export interface ActionRow {
  id: string;
  what: string;
  owner: string;
  due: Instant | null;
  /** Not done by its due time. */
  overdue: boolean;
  who: string;
  opened: Instant;
  closed: { at: Instant; who: string; note: string } | null;
}

/** Whether an action was done after its due time, or is not done by `at`. */
export function isOverdue(due: Instant | null, closed: Instant | null, at: Instant): boolean {
  return due !== null && due < (closed ?? at);
}

/** Actions in the order in which they are told: overdue first, then by due time, those without one last; ties by opening. */
export function inDueOrder(actions: readonly ActionRow[]): ActionRow[] {
  const due = (action: ActionRow): number => action.due ?? Number.POSITIVE_INFINITY;
  return actions.toSorted((a, b) => Number(b.overdue) - Number(a.overdue) || (due(a) === due(b) ? 0 : due(a) - due(b)) || a.opened - b.opened);
}
