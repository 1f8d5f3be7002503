import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { Plant, Station } from '../../server/core/setup/plant.ts';
import type { UnitStage } from '../../server/core/facts/unit-state.ts';
import type { Instant } from '../../server/core/units.ts';

/** A walk of the line as this device keeps it: what the facts do not say of it. */
export interface Walk {
  started: Instant;
  /** Null while it is under way, broken off or not. */
  ended: Instant | null;
  /** Keys of the places that a person went past: found empty, or with the unit that stands there. */
  passed: string[];
}

/** One thing to look at on a walk: a unit at its place, or free places beside each other (`unit` null). */
export interface WalkStep {
  key: string;
  station: Station;
  /** Whether the place lies outside every line, where units stand in slots. */
  outside: boolean;
  unit: UnitRow | null;
  /** The unit's slot, or the free ones; empty where no slots are said. */
  slots: string[];
  /** How many places it stands for. */
  places: number;
  walked: boolean;
}

/** What facts say of a walk (server/core/facts/evolve-walk.ts). */
export const WALK_FLAGS: readonly string[] = ['seenElsewhere', 'notFound'];

const SOMEWHERE: readonly UnitStage[] = ['onLine', 'offLine', 'inspection', 'yard', 'released'];

/** Stations and places in walking order: hall by hall along the lines, then repair bays, what else lies outside, and the yard. Parts on feeder lines are not walked. */
export function walkingOrder(plant: Plant): { station: Station; outside: boolean }[] {
  const halls = plant.halls.map(({ code }) => code);
  const byHall = (stations: Station[]): Station[] => halls.flatMap((hall) => stations.filter((station) => station.hall === hall));
  const on = byHall(plant.lines.filter(({ purpose }) => purpose !== 'feeder').flatMap(({ stations }) => stations));
  const bays = byHall(plant.places.filter(({ kind }) => kind === 'repairBay'));
  const yards = byHall(plant.places.filter(({ kind }) => kind === 'yard'));
  const others = byHall(plant.places).filter((place) => !bays.includes(place) && !yards.includes(place));
  return [...on.map((station) => ({ station, outside: false })), ...[...bays, ...others, ...yards].map((station) => ({ station, outside: true }))];
}

/** All there is to look at, in walking order. */
export function walkSteps(view: Snapshot, walk: Walk): WalkStep[] {
  const standing = new Map<string, UnitRow[]>();
  for (const row of view.units) {
    const at = row.state.place?.station;
    if (at !== undefined) standing.set(at, [...(standing.get(at) ?? []), row]);
  }
  return walkingOrder(view.plant).flatMap(({ station, outside }) => {
    const units = (standing.get(station.code) ?? []).toSorted(bySlot);
    const numbered = outside && units.some((row) => isNumbered(row, station));
    if (numbered) return slotSteps(station, units, walk);
    const free = station.capacity === null ? (view.stations.find((row) => row.station === station.code)?.free ?? 0) : Math.max(0, station.capacity - units.length);
    return [...units.map((row) => unitStep(station, outside, row, walk)), ...(free > 0 ? [freeStep(station, outside, [], free, walk)] : [])];
  });
}

/** Slot by slot; free ones beside each other are one step, as one look takes them in. */
function slotSteps(station: Station, units: readonly UnitRow[], walk: Walk): WalkStep[] {
  const steps: WalkStep[] = [];
  let free: string[] = [];
  const closeRun = (): void => {
    if (free.length > 0) steps.push(freeStep(station, true, free, free.length, walk));
    free = [];
  };
  for (let slot = 1; slot <= (station.capacity ?? 0); slot++) {
    const here = units.filter((row) => row.state.place?.slot === String(slot));
    if (here.length > 0) closeRun();
    steps.push(...here.map((row) => unitStep(station, true, row, walk)));
    if (here.length > 0) continue;
    const before = free.at(-1);
    if (before !== undefined && isPassed(station, before, walk) !== isPassed(station, String(slot), walk)) closeRun();
    free.push(String(slot));
  }
  closeRun();
  return [...steps, ...units.filter((row) => !isNumbered(row, station)).map((row) => unitStep(station, true, row, walk))];
}

function unitStep(station: Station, outside: boolean, row: UnitRow, { started }: Walk): WalkStep {
  const { place, seen, unit } = row.state;
  // One that was scanned into the place during the walk is known to stand there.
  const walked = (seen !== null && seen >= started) || (place !== null && place.since >= started);
  const slots = place && place.slot !== '' ? [place.slot] : [];
  return { key: `${station.code}:${unit}`, station, outside, unit: row, slots, places: 1, walked };
}

function freeStep(station: Station, outside: boolean, slots: string[], places: number, walk: Walk): WalkStep {
  const first = slots[0] ?? '';
  return { key: placeKey(station.code, first), station, outside, unit: null, slots, places, walked: isPassed(station, first, walk) };
}

export const placeKey = (station: string, slot: string): string => (slot === '' ? station : `${station}#${slot}`);

/** Keys of the places that are gone past once what stands at `slot` of a step is known: free slots before it are seen on the way. */
export function passedWith(step: WalkStep, slot: string): string[] {
  const { station, unit, slots } = step;
  const at = unit === null ? slots.indexOf(slot) : -1;
  if (at >= 0) return slots.slice(0, at + 1).map((one) => placeKey(station.code, one));
  if (slot !== '') return [placeKey(station.code, slot)];
  // Where there is room for more than one, a unit found says nothing of the other places.
  return station.capacity === 1 ? [station.code] : [];
}

/** Keys of all the free places of a step. */
export function emptyPlaces({ station, slots }: WalkStep): string[] {
  return slots.length === 0 ? [station.code] : slots.map((slot) => placeKey(station.code, slot));
}

/** The step to do next: the first that is left, of those that were put off only when there is no other. Null at the end. */
export function nextOnWalk(steps: readonly WalkStep[], later: readonly string[]): WalkStep | null {
  const left = steps.filter((step) => !step.walked);
  return left.find((step) => !later.includes(step.key)) ?? left[0] ?? null;
}

export function walkProgress(steps: readonly WalkStep[]): { walked: number; all: number } {
  const sum = (some: readonly WalkStep[]): number => some.reduce((total, step) => total + step.places, 0);
  return { walked: sum(steps.filter((step) => step.walked)), all: sum(steps) };
}

export interface WalkReport {
  /** Found where they were said to be. */
  confirmed: UnitRow[];
  /** Found, but elsewhere; `said` is the station, the slot of the same station, or `''` when it stood nowhere. */
  corrected: { row: UnitRow; said: string }[];
  /** Not found on this walk and not scanned since; `said` is the station. */
  notFound: { row: UnitRow; said: string }[];
  /** In the plant by their history, but standing nowhere that anybody has said. */
  lost: UnitRow[];
}

/** What a walk came to, by what the facts since its start say. */
export function walkReport(view: Snapshot, started: Instant): WalkReport {
  const report: WalkReport = { confirmed: [], corrected: [], notFound: [], lost: [] };
  for (const row of view.units) {
    const { place, seen, stage } = row.state;
    if (place === null && SOMEWHERE.includes(stage)) report.lost.push(row);
    const flags = row.flags.filter(({ code, happened }) => happened >= started && WALK_FLAGS.includes(code)).toSorted((a, b) => a.happened - b.happened);
    const said = flags.find(({ detail }) => detail !== '')?.detail ?? '';
    if (flags.length === 0 && seen !== null && seen >= started) report.confirmed.push(row);
    else if (flags.length > 0) (place === null ? report.notFound : report.corrected).push({ row, said });
  }
  return report;
}

function isPassed(station: Station, slot: string, { passed }: Walk): boolean {
  return passed.includes(placeKey(station.code, slot));
}

function isNumbered({ state: { place } }: UnitRow, { capacity }: Station): boolean {
  return /^[1-9]\d*$/.test(place?.slot ?? '') && Number(place!.slot) <= (capacity ?? 0);
}

function bySlot(a: UnitRow, b: UnitRow): number {
  const [one, other] = [a.state.place!, b.state.place!];
  return one.slot.localeCompare(other.slot, 'en', { numeric: true }) || one.since - other.since;
}
