import { type WorkingTime, workingTimeOf } from '../calendar/working-time.ts';
import type { Fact, Recorded } from '../facts/fact.ts';
import { identifiedAs } from '../facts/identified-as.ts';
import { effectiveFacts } from '../facts/voids.ts';
import { findLine, routeOf, setupAt } from '../setup/setup-at.ts';
import type { LineHistory } from '../timeline/line-history.ts';
import { stationAt } from '../timeline/occupancy.ts';
import type { Visit } from '../timeline/visit.ts';
import { type Instant, type LocalDate, type Minutes, MS_PER_MINUTE } from '../units.ts';
import { bunchedScans, isScan, type PlaceOfScan, type Scan } from './bunched-scans.ts';
import { shiftOf, visitRecords } from './visit-records.ts';

/**
 * `notScanned`: a station of the route was missed. `finishAssumed`: left, no finish scanned. `bunched`: nearer together than it can have been
 * (`bunchedScans`). `told`: a person said the instant. `recordedLate`: recorded more than `LATE_AFTER` after it happened.
 */
export type ScanMarkKind = 'notScanned' | 'finishAssumed' | 'bunched' | 'told' | 'recordedLate';

/** Common practice, no source: longer than a kiosk waits for its network, shorter than a break. */
export const LATE_AFTER: Minutes = 15;

export interface ScanMark {
  kind: ScanMarkKind;
  station: string;
  shift: string;
  date: LocalDate;
  unit: string;
  /** When it happened; null for a station that was not scanned. */
  at: Instant | null;
  /** The fact marked; of an assumed finish the one that brought the unit; null where there is none. */
  fact: string | null;
}

/** How the scans of one station and shift can be trusted. */
export interface ScanHabit {
  station: string;
  /** '' outside every shift. */
  shift: string;
  /** Arrivals, finishes and leaves that were scanned. */
  scans: number;
  /** Of them, those neither bunched nor told. One recorded late is good: a device without its network says nothing about who scans. */
  good: number;
  /** Scans that should have been: a missed station, an assumed finish. */
  missing: number;
  marks: Record<ScanMarkKind, number>;
  /** good ÷ (scans + missing); a station and shift without either has no line. */
  goodShare: number;
  facts: ScanMark[];
}

/**
 * The scan habits at the stations of the line for what happened in [from, to), by station in the order of the line, then shift. `visits` are
 * those of `history`; `facts` may hold those of other lines.
 */
export function scanHabits(facts: readonly Recorded[], history: LineHistory, visits: readonly Visit[], from: Instant, to: Instant): ScanHabit[] {
  const placed = placer(history);
  const scans = scansOfLine(facts, history, from, to);
  const bunched = bunchedScans(scans, placeOfScan(history));
  const habits = new Map<string, ScanHabit>();
  for (const scan of scans) {
    const { shift, date } = placed(scan.station, scan.happened);
    const habit = habitOf(habits, scan.station, shift);
    const kinds: ScanMarkKind[] = [];
    if (bunched.has(scan.id)) kinds.push('bunched');
    if (scan.told) kinds.push('told');
    if (kinds.length === 0) habit.good++;
    if (scan.recorded - scan.happened > LATE_AFTER * MS_PER_MINUTE) kinds.push('recordedLate');
    habit.scans++;
    for (const kind of kinds) mark(habit, { kind, station: scan.station, shift, date, unit: scan.unit, at: scan.happened, fact: scan.id });
  }
  for (const { visit, key, shift, date } of visitRecords(history, visits, from, to)) {
    const kind = visit.notScanned ? 'notScanned' : visit.finishAssumed ? 'finishAssumed' : null;
    if (kind === null) continue;
    const habit = habitOf(habits, visit.station, shift);
    habit.missing++;
    mark(habit, { kind, station: visit.station, shift, date, unit: visit.unit, at: visit.arrived, fact: key.arrivedBy });
  }
  const order = stationsOf(history, to);
  return [...habits.values()].map((habit) => ({ ...habit, goodShare: habit.good / (habit.scans + habit.missing) }))
    .sort((a, b) => order.indexOf(a.station) - order.indexOf(b.station) || (a.shift < b.shift ? -1 : 1));
}

function habitOf(habits: Map<string, ScanHabit>, station: string, shift: string): ScanHabit {
  const key = JSON.stringify([station, shift]);
  const none = { notScanned: 0, finishAssumed: 0, bunched: 0, told: 0, recordedLate: 0 };
  const habit = habits.get(key) ?? { station, shift, scans: 0, good: 0, missing: 0, marks: none, goodShare: 0, facts: [] };
  habits.set(key, habit);
  return habit;
}

function mark(habit: ScanHabit, told: ScanMark): void {
  habit.marks[told.kind]++;
  habit.facts.push(told);
}

function stationsOf({ setups, line: code }: LineHistory, t: Instant): string[] {
  const plant = setupAt(setups, t)?.plant;
  return (plant && findLine(plant, code)?.stations.map((station) => station.code)) ?? [];
}

/** Scans at stations that the line had when they happened, under the serial of the unit they turned out to be of. */
function scansOfLine(facts: readonly Recorded[], history: LineHistory, from: Instant, to: Instant): Recorded<Scan>[] {
  const counting = effectiveFacts(facts);
  const identified = identifiedAs(counting);
  const recording = new Map(facts.map(({ id, recorded, seq }) => [id, { recorded, seq }]));
  return counting.filter((fact: Fact): fact is Scan => isScan(fact) && fact.happened >= from && fact.happened < to)
    .filter((scan) => stationsOf(history, scan.happened).includes(scan.station))
    .map((scan) => ({ ...scan, unit: identified.get(scan.unit) ?? scan.unit, ...recording.get(scan.id)! }));
}

function placer(history: LineHistory): (station: string, t: Instant) => { shift: string; date: LocalDate } {
  const times = new Map<string, WorkingTime>();
  return (station, t) => {
    const time = times.get(station) ?? workingTimeOf(history.setups, { line: history.line, station }, history.floorTime);
    times.set(station, time);
    return shiftOf(history.setups, time, t);
  };
}

/** At the set-up in force when it was scanned; a unit of unknown model has no standard, a place measured by length no count of places. */
function placeOfScan({ setups, line: code, units }: LineHistory): PlaceOfScan {
  const known = new Map(units.map((unit) => [unit.unit, unit]));
  return ({ unit, station, happened }) => {
    const plant = setupAt(setups, happened)?.plant;
    const line = plant && findLine(plant, code);
    const own = known.get(unit);
    const step = plant && line && own ? routeOf(plant, line, own.model || null, own.options).find((candidate) => candidate.station === station) : null;
    return { standard: step?.standard ?? 0, places: stationAt(setups, happened, station)?.capacity ?? Number.POSITIVE_INFINITY };
  };
}
