/**
 * A slow oracle for the minutes of visits and of free places: it walks minute by minute over small histories in whole minutes, straight from the
 * definitions, and shares no code with the program.
 */
export interface OracleStay { unit: number; station: number; arrived: number; finished: number | null; left: number | null }
export interface OracleHold { id: string; unit: number; keeps: 'work' | 'leaving' | 'station' | 'shipping'; from: number | null; opened: number; cleared: number | null }
export interface OracleStop { id: string; station: number; opened: number; cleared: number | null }
export interface OracleCase {
  /** Places of each station, in order; where `placeLength` says metres, those count instead. */
  capacity: number[];
  placeLength: (number | null)[];
  /** Metres of each unit, and the minute from which it is gone. */
  unitLength: number[];
  gone: (number | null)[];
  mayPass: boolean[];
  standard: number[];
  together: boolean;
  stays: OracleStay[];
  holds: OracleHold[];
  stops: OracleStop[];
  /** Minutes in which nobody works. */
  pause: (minute: number) => boolean;
  at: number;
}
export interface OracleVisit {
  unit: number; station: number; arrived: number; left: number | null; finished: number | null; assumed: boolean;
  held: number; blocked: number; rollLag: number; stopped: number; work: number; owners: Record<string, number>;
}

const NEVER = 1_000_000;

export function oracleVisits(input: OracleCase): OracleVisit[] {
  const stays = staysKnown(input);
  return stays.map((stay) => visitOf(input, stays, stay));
}

/** Starved and idle minutes of the places of each station over [from, input.at). A place measured by length is one place. */
export function oracleFreePlaces(input: OracleCase, from: number): { station: number; starved: number; idle: number }[] {
  const stays = staysKnown(input);
  const units = [...new Set(stays.map((stay) => stay.unit))];
  return input.capacity.map((capacity, station) => {
    const result = { station, starved: 0, idle: 0 };
    const places = input.placeLength[station] === null ? capacity : 1;
    for (let minute = from; minute < input.at; minute++) {
      if (input.pause(minute)) continue;
      const free = Math.max(0, places - stays.filter((stay) => stay.station === station && standsAt(stay, minute)).length);
      result[units.some((unit) => hasAhead(input, stays, unit, station, minute)) ? 'starved' : 'idle'] += free;
    }
    return result;
  });
}

/** It has been released onto the line, is not gone, and stood neither here nor at any station after this one so far. */
function hasAhead({ gone }: OracleCase, stays: OracleStay[], unit: number, station: number, minute: number): boolean {
  const before = stays.filter((stay) => stay.unit === unit && stay.arrived <= minute);
  return before.length > 0 && minute < (gone[unit] ?? NEVER) && before.every((stay) => stay.station < station);
}

function staysKnown(input: OracleCase): OracleStay[] {
  const stays = input.stays.filter((stay) => stay.arrived <= input.at).map((stay) => ({
    ...stay,
    left: stay.left !== null && stay.left <= input.at ? stay.left : null,
    finished: stay.finished !== null && stay.finished <= input.at ? stay.finished : null,
  }));
  endStaysAtFullStations(input, stays);
  return stays;
}

const standsAt = (stay: OracleStay, minute: number): boolean => stay.arrived <= minute && (stay.left === null || minute < stay.left);

/** Whether `unit` finds a place at the station beside `others`: by count, or by the metres that all of them take. */
function findsPlace({ capacity, placeLength, unitLength }: OracleCase, station: number, others: OracleStay[], unit: number): boolean {
  const metres = placeLength[station] ?? null;
  if (metres === null) return others.length < capacity[station]!;
  let taken = unitLength[unit]!;
  for (const other of others) taken += unitLength[other.unit]!;
  return taken <= metres;
}

function endStaysAtFullStations(input: OracleCase, stays: OracleStay[]): void {
  for (const coming of [...stays].sort((a, b) => a.arrived - b.arrived)) {
    const here = stays.filter((other) => other !== coming && other.station === coming.station && other.arrived < coming.arrived && standsAt(other, coming.arrived));
    if (findsPlace(input, coming.station, here, coming.unit)) continue;
    const finished = here.filter((other) => other.finished !== null && other.finished <= coming.arrived).sort((a, b) => a.arrived - b.arrived)[0];
    if (finished) finished.left = coming.arrived;
  }
}

function visitOf(input: OracleCase, stays: OracleStay[], stay: OracleStay): OracleVisit {
  const until = stay.left ?? input.at;
  const next = stay.station + 1 < input.capacity.length ? stay.station + 1 : null;
  const openHolds = (minute: number, keeps: (hold: OracleHold) => boolean): OracleHold[] =>
    input.holds.filter((hold) => hold.unit === stay.unit && hold.opened <= minute && (hold.cleared === null || hold.cleared > minute) && keeps(hold));
  const stopsWork = (hold: OracleHold): boolean => hold.keeps === 'work';
  const keepsHere = (hold: OracleHold): boolean => hold.keeps === 'work' || hold.keeps === 'leaving' || (hold.keeps === 'station' && hold.from === next);
  const openStops = (minute: number): OracleStop[] =>
    input.stops.filter((stop) => stop.station === stay.station && stop.opened <= minute && (stop.cleared === null || stop.cleared > minute));
  const isFree = (minute: number): boolean => next === null || freeAhead(input, stays, stay, next, minute);

  let finished = stay.finished;
  const assumed = finished === null && stay.left !== null;
  if (assumed) {
    finished = until;
    let end = until;
    let worked = 0;
    while (!input.together && end > stay.arrived && isFree(end - 1)) end--;
    for (let minute = end; minute < until; minute++) if (!input.pause(minute)) worked++;
    let start = end;
    while (!input.together && start > stay.arrived && !isFree(start - 1)) start--;
    if (!input.together && start < end && worked <= 1) {
      let toDo = input.standard[stay.station]!;
      let minute = stay.arrived;
      for (; minute < until && toDo > 0; minute++) if (!input.pause(minute) && openHolds(minute, stopsWork).length === 0 && openStops(minute).length === 0) toDo--;
      if (toDo <= 0) finished = Math.max(start, minute);
    }
  }
  const result: OracleVisit = { unit: stay.unit, station: stay.station, arrived: stay.arrived, left: stay.left, finished, assumed, held: 0, blocked: 0, rollLag: 0, stopped: 0, work: 0, owners: {} };
  const lagFrom = finished === null ? NEVER : rollLagFrom(input, stays, stay, finished, until, isFree, keepsHere);
  for (let minute = stay.arrived; minute < until; minute++) {
    if (input.pause(minute)) continue;
    const waiting = finished !== null && minute >= finished;
    const holds = openHolds(minute, waiting ? keepsHere : stopsWork);
    const causes: (OracleHold | OracleStop)[] = holds.length > 0 ? holds : waiting ? [] : openStops(minute);
    const owner = causes.sort((a, b) => a.opened - b.opened || (a.id < b.id ? -1 : 1))[0];
    if (owner) result.owners[owner.id] = (result.owners[owner.id] ?? 0) + 1;
    if (holds.length > 0) result.held++;
    else if (waiting) result[minute >= lagFrom ? 'rollLag' : 'blocked']++;
    else if (owner) result.stopped++;
    else result.work++;
  }
  return result;
}

/** Whether a place ahead is free in this minute for the unit in its turn. */
function freeAhead(input: OracleCase, stays: OracleStay[], stay: OracleStay, next: number, minute: number): boolean {
  const cameToNext = (other: OracleStay): number => {
    if (other.left === null) return NEVER;
    return Math.min(NEVER, ...input.stays.filter((own) => own.unit === other.unit && own.station === next && own.arrived > other.arrived && own.arrived <= input.at).map((own) => own.arrived));
  };
  const taken = stays.filter((other) => other.unit !== stay.unit && other.station === next && standsAt(other, minute));
  const before = stays.filter((other) => {
    if (other.unit === stay.unit || other.station !== stay.station || !standsAt(other, minute)) return false;
    const [theirs, ours] = [cameToNext(other), cameToNext(stay)];
    if (theirs !== ours ? theirs > ours : other.arrived > stay.arrived) return false;
    return input.mayPass[stay.station] ? other.finished !== null && other.finished <= minute : true;
  });
  return findsPlace(input, next, [...taken, ...before], stay.unit);
}

function rollLagFrom(
  input: OracleCase, stays: OracleStay[], stay: OracleStay, finished: number, until: number, isFree: (minute: number) => boolean, keepsHere: (hold: OracleHold) => boolean,
): number {
  let from = finished;
  for (const hold of input.holds) {
    if (hold.unit !== stay.unit || !keepsHere(hold) || hold.opened >= until) continue;
    if (hold.cleared === null || hold.cleared > input.at) from = NEVER;
    else if (hold.cleared > finished) from = Math.max(from, hold.cleared);
  }
  if (!input.together) {
    let freeFrom = until;
    while (freeFrom > stay.arrived && isFree(freeFrom - 1)) freeFrom--;
    return Math.max(from, freeFrom === until ? NEVER : freeFrom);
  }
  for (const other of stays) {
    if (other.arrived >= until || (other.left !== null && other.left < until)) continue;
    const ready = other.finished ?? other.left ?? NEVER;
    from = Math.max(from, ready);
    const ahead = other.station + 1 < input.capacity.length ? other.station + 1 : null;
    for (const hold of input.holds) {
      if (hold.unit !== other.unit || hold.opened >= until) continue;
      if (!(hold.keeps === 'work' || hold.keeps === 'leaving' || (hold.keeps === 'station' && hold.from === ahead))) continue;
      if (hold.cleared === null || hold.cleared > input.at) from = NEVER;
      else if (hold.cleared > ready) from = Math.max(from, hold.cleared);
    }
  }
  return from;
}
