import { type WorkingTime, workingTimeOf } from '../calendar/working-time.ts';
import type { Fact } from '../facts/fact.ts';
import type { FoldedUnit } from '../facts/fold-unit.ts';
import { identifiedAs } from '../facts/identified-as.ts';
import { effectiveFacts } from '../facts/voids.ts';
import { findLine, findStation, routeOf, setupAt } from '../setup/setup-at.ts';
import type { CountEvent, CountPoint, Line, Plant, SetupVersion } from '../setup/plant.ts';
import type { Stay, UnitHistory } from '../timeline/line-history.ts';
import type { Instant, LocalDate } from '../units.ts';
import { shiftOf } from './visit-records.ts';

const EVENTS: readonly { event: CountEvent; name: string }[] = [
  { event: 'offLine', name: 'Off the line' }, { event: 'finished', name: 'Finished' }, { event: 'released', name: 'Released' }, { event: 'shipped', name: 'Shipped' },
];

/** Where the plant counts its units: its own points, or one for each event where it has not set any. */
export function countPointsOf(plant: Plant): CountPoint[] {
  return plant.countPoints ?? EVENTS.map(({ event, name }) => ({ code: event, name, event, station: null }));
}

/** A unit passes a count point once: the first time, whatever happens to it later. */
export interface Passage {
  point: string;
  unit: string;
  model: string;
  at: Instant;
  /** The day on which the shift of the plant's first main line began, else the day on the wall clock. */
  date: LocalDate;
  /** Nobody scanned it at the point: it was told when it was first seen beyond. */
  assumed: boolean;
  /** The fact that brought it to the station counted at or beyond, or the release or shipment. */
  by: string;
}

type Sign = Pick<Passage, 'at' | 'assumed' | 'by'>;

/** Every passage of `point` by `at`, in order. `facts` may be all facts there are: of them releases and shipments count. */
export function countPassages(point: CountPoint, setups: readonly SetupVersion[], units: ReadonlyMap<string, FoldedUnit>, facts: readonly Fact[], at: Instant): Passage[] {
  const office = officeSigns(facts);
  const time = dayTime(setups, at);
  return [...units.values()].flatMap(({ state, history }) => {
    const signs = [...stationSigns(point, setups, history, state.cancelled), ...(office.get(state.unit) ?? []).flatMap((fact) => officeSign(point, fact))];
    const first = signs.filter((sign) => sign.at <= at).reduce<Sign | null>((best, sign) => (best === null || isBefore(sign, best) ? sign : best), null);
    return first ? [{ ...first, point: point.code, unit: state.unit, model: state.model ?? '', date: shiftOf(setups, time, first.at).date }] : [];
  }).sort((a, b) => a.at - b.at || (a.unit < b.unit ? -1 : 1));
}

/** Of two signs at one instant the scanned one. */
const isBefore = (a: Sign, b: Sign): boolean => a.at < b.at || (a.at === b.at && b.assumed && !a.assumed);

/** When the unit passed a count point at which units are off the line or finished, as far as its stays say; null while it did not. */
export function passedByStays(point: CountPoint, setups: readonly SetupVersion[], { state, history }: FoldedUnit): Instant | null {
  const signs = stationSigns(point, setups, history, state.cancelled);
  return signs.length === 0 ? null : signs.reduce((best, sign) => (isBefore(sign, best) ? sign : best)).at;
}

function dayTime(setups: readonly SetupVersion[], at: Instant): WorkingTime {
  const line = setupAt(setups, at)?.plant.lines.find(({ purpose }) => purpose === 'main')?.code ?? null;
  return workingTimeOf(setups, { line, station: null }, []);
}

type OfficeFact = Extract<Fact, { kind: 'release' | 'ship' }>;

/** Releases and shipments by unit; those of what was identified as a unit are that unit's. */
function officeSigns(facts: readonly Fact[]): Map<string, OfficeFact[]> {
  const counting = effectiveFacts(facts);
  const identified = identifiedAs(counting);
  const signs = new Map<string, OfficeFact[]>();
  for (const fact of counting) {
    if (fact.kind !== 'release' && fact.kind !== 'ship') continue;
    const unit = identified.get(fact.unit) ?? fact.unit;
    signs.set(unit, [...(signs.get(unit) ?? []), fact]);
  }
  return signs;
}

/** What the office says is a passage of its own event, and shows that every event before it is past. */
function officeSign({ event }: CountPoint, { kind, happened, id }: OfficeFact): Sign[] {
  if (event === 'shipped') return kind === 'ship' ? [{ at: happened, assumed: false, by: id }] : [];
  if (event === 'released') return [{ at: happened, assumed: kind !== 'release', by: id }];
  return [{ at: happened, assumed: true, by: id }];
}

function stationSigns(point: CountPoint, setups: readonly SetupVersion[], history: UnitHistory, cancelled: Instant | null): Sign[] {
  if (point.event !== 'offLine' && point.event !== 'finished') return [];
  return history.stays.flatMap((stay): Sign[] => {
    const plant = setupAt(setups, stay.arrived)?.plant;
    const line = plant && findLine(plant, stay.line);
    if (!plant || !line || line.purpose === 'feeder') return [];
    const counted = countedStation(point, plant, history);
    if (!counted) return [];
    if (stay.station === counted.station) return signHere(point.event, stay);
    if (isBeyond(plant, history, stay, counted)) return [{ at: stay.arrived, assumed: true, by: stay.arrivedBy }];
    const parked = stay.leftHow === 'parked' && stay.left !== null && stay.left !== cancelled && stay.line === counted.line.code;
    return parked ? [{ at: stay.left!, assumed: true, by: stay.arrivedBy }] : [];
  });
}

/** A finish that nobody scanned is told at the leave. A unit pulled off has neither finished nor left the line. */
function signHere(event: CountEvent, stay: Stay): Sign[] {
  if (event === 'finished' && stay.finished !== null) return [{ at: stay.finished, assumed: false, by: stay.arrivedBy }];
  if (stay.left === null || stay.leftHow === 'pulledOff') return [];
  return [{ at: stay.left, assumed: event === 'finished', by: stay.arrivedBy }];
}

/**
 * The point's own station; else the last on the unit's route of the last line that counts: for `offLine` a main line on which it stood, for
 * `finished` any that is no feeder.
 */
function countedStation(point: CountPoint, plant: Plant, { model, options, stays }: UnitHistory): { line: Line; station: string } | null {
  if (point.station !== null) {
    const line = findStation(plant, point.station)?.line;
    return line ? { line, station: point.station } : null;
  }
  const lines = plant.lines.filter(({ purpose, code }) => (point.event === 'offLine' ? purpose === 'main' && stays.some((stay) => stay.line === code) : purpose !== 'feeder'));
  for (const line of lines.reverse()) {
    const last = routeOf(plant, line, model || null, options).at(-1);
    if (last) return { line, station: last.station };
  }
  return null;
}

/** Whether the stay is at a station behind the one counted at, on its line or on one that comes after it. */
function isBeyond(plant: Plant, { model, options }: UnitHistory, stay: Stay, counted: { line: Line; station: string }): boolean {
  if (stay.line !== counted.line.code) return plant.lines.findIndex(({ code }) => code === stay.line) > plant.lines.indexOf(counted.line);
  const route = routeOf(plant, counted.line, model || null, options).map((step) => step.station);
  return route.includes(counted.station) && route.indexOf(stay.station) > route.indexOf(counted.station);
}
