import { setupAt } from '../setup/setup-at.ts';
import type { SetupVersion, Station } from '../setup/plant.ts';
import type { Instant } from '../units.ts';
import type { LineHistory, Stay, UnitHistory } from './line-history.ts';

/** A stay on the line as known at the instant asked for, with the unit whose it is. */
export interface LineStay extends Stay {
  of: UnitHistory;
}

/** Stays of one line by station, sorted by arrival, for asking who stood where. */
export interface Occupancy {
  at: Instant;
  byStation: Map<string, { stays: LineStay[]; latestLeave: Instant[] }>;
  /** Arrivals that found their station full, and the unit whose stay each ended: null where no unit there was finished. */
  full: { stay: LineStay; ended: string | null }[];
}

export const leaveOf = (stay: Stay): Instant => stay.left ?? Number.POSITIVE_INFINITY;

/** The line's stays as they were known at `at`; a full station's arrivals have ended the stay of its oldest finished unit. */
export function occupancyOf(history: LineHistory, at: Instant): Occupancy {
  const byStation: Occupancy['byStation'] = new Map();
  for (const unit of history.units) {
    for (const stay of unit.stays) {
      if (stay.line !== history.line || stay.arrived > at) continue;
      const known = clip(stay, unit, at);
      const held = byStation.get(stay.station);
      if (held) held.stays.push(known);
      else byStation.set(stay.station, { stays: [known], latestLeave: [] });
    }
  }
  const full: Occupancy['full'] = [];
  for (const [station, held] of byStation) {
    held.stays.sort((a, b) => a.arrived - b.arrived || (a.arrivedBy < b.arrivedBy ? -1 : 1));
    full.push(...evict(held.stays, station, history.setups));
    let latest = Number.NEGATIVE_INFINITY;
    held.latestLeave = held.stays.map((stay) => (latest = Math.max(latest, leaveOf(stay))));
  }
  return { at, byStation, full };
}

function clip(stay: Stay, of: UnitHistory, at: Instant): LineStay {
  const left = stay.left !== null && stay.left <= at ? stay.left : null;
  const finished = stay.finished !== null && stay.finished <= at ? stay.finished : null;
  return { ...stay, of, finished, left, leftHow: left === null ? null : stay.leftHow };
}

/** Definitions §3: an arrival at a full station ends the stay of the oldest finished unit there. Returns those arrivals. */
function evict(stays: readonly LineStay[], code: string, setups: readonly SetupVersion[]): Occupancy['full'] {
  const full: Occupancy['full'] = [];
  let here: LineStay[] = [];
  for (const stay of stays) {
    here = here.filter((other) => leaveOf(other) > stay.arrived);
    if (here.length > 0 && !fits(stationAt(setups, stay.arrived, code), here, stay, setups)) {
      const oldest = here.find((other) => other.finished !== null && other.finished <= stay.arrived);
      full.push({ stay, ended: oldest?.unit ?? null });
      if (oldest) {
        oldest.left = stay.arrived;
        oldest.leftHow = 'evicted';
        here = here.filter((other) => other !== oldest);
      }
    }
    here.push(stay);
  }
  return full;
}

/** The station as set up at `t`, or null for one that the set-up does not know. */
export function stationAt(setups: readonly SetupVersion[], t: Instant, code: string): Station | null {
  const plant = setupAt(setups, t)?.plant;
  for (const line of plant?.lines ?? []) {
    const station = line.stations.find((candidate) => candidate.code === code);
    if (station) return station;
  }
  return null;
}

/** Whether `coming` finds a place at the station beside `here`: counted, or by length. Always at an unknown station. */
export function fits(station: Station | null, here: readonly LineStay[], coming: LineStay, setups: readonly SetupVersion[]): boolean {
  if (!station) return true;
  if (station.placeLength === null) return here.length < (station.capacity ?? 1);
  const length = (stay: LineStay): number => setupAt(setups, coming.arrived)?.plant.models.find((model) => model.code === stay.of.model)?.length ?? 0;
  return here.reduce((sum, stay) => sum + length(stay), length(coming)) <= station.placeLength;
}

/** The stays at `station` that overlap [from, to), in order of arrival. */
export function staysDuring({ byStation }: Occupancy, station: string, from: Instant, to: Instant): LineStay[] {
  const held = byStation.get(station);
  if (!held) return [];
  let [low, high] = [0, held.stays.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (held.stays[middle]!.arrived < to) low = middle + 1;
    else high = middle;
  }
  const found: LineStay[] = [];
  for (let i = low - 1; i >= 0 && held.latestLeave[i]! > from; i--) if (leaveOf(held.stays[i]!) > from) found.push(held.stays[i]!);
  return found.reverse();
}
