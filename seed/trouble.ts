import type { KeepsFrom } from '../server/core/facts/fact.ts';
import type { Minutes } from '../server/core/units.ts';
import type { Sim, SimUnit } from './simulate.ts';

export const HOLD_REASONS = ['Part missing', 'Wrong part at station', 'Damage to repair', 'Waiting for decision', 'Failed check', 'Drawing unclear'];
export const STOP_REASONS = ['Hoist out of order', 'Tool broken', 'No material', 'Crew short', 'Compressed air lost'];
/** Milliseconds by which a unit is said to have left before it arrives at the next station. */
const JUST_BEFORE = 20_000;
/** How long after it is missed a part is said to come. */
const EXPECTED_MS = 3 * 3_600_000;
const SHORT_ITEMS: readonly [string, string][] = [
  ['Converter', 'Purchasing'], ['Range hood', 'Purchasing'], ['Slide-out seal', 'Supplier 07'], ['Entry step', 'Stores'], ['Cabinet door', 'Cabinet shop'],
];

/** What may happen to a unit while `work` minutes of work at its station go on: a hold, a part that is missing. */
export function drawTrouble(sim: Sim, unit: SimUnit, work: Minutes): void {
  if (sim.chance.next() < 0.022) {
    sim.events.at(sim.events.now() + work * sim.chance.next(), () => hold(sim, unit, 6 + sim.chance.exponential(32), 'work'));
  }
  if (unit.line.purpose === 'main' && sim.chance.next() < 0.008) unit.missing = true;
}

/** Opens a hold on the unit for `minutes`; one that keeps it from work puts off the end of its work. */
export function hold(sim: Sim, unit: SimUnit, minutes: Minutes, keepsFrom: KeepsFrom): void {
  const place = unit.station ?? 'office';
  const reason = sim.chance.pick(HOLD_REASONS);
  const id = sim.writer.state('openHold', sim.instant(), place, { unit: unit.unit, reason, keepsFrom, fromStation: null, note: '' });
  unit.openHolds++;
  if (keepsFrom === 'work') unit.extra += minutes;
  sim.events.at(sim.events.now() + minutes, () => {
    unit.openHolds--;
    sim.writer.state('clearHold', sim.instant(), place, { unit: unit.unit, hold: id, note: '' });
  });
}

/** The unit leaves its station with something missing; the station named fits it later. States nothing when nothing is missing. */
export function leaveShort(sim: Sim, unit: SimUnit): void {
  if (!unit.missing || unit.station === null) return;
  unit.missing = false;
  const station = unit.station;
  const [what, owner] = sim.chance.pick(SHORT_ITEMS);
  const stations = unit.line.stations;
  const from = stations.findIndex((candidate) => candidate.code === station);
  const fitAt = stations[Math.min(stations.length - 1, from + 3 + Math.floor(sim.chance.next() * 6))]!.code;
  unit.openShorts++;
  const short = sim.writer.state('leaveShort', sim.instant(JUST_BEFORE), station, { unit: unit.unit, station, items: [{ what, owner, fitAt, expected: sim.instant() + EXPECTED_MS }] });
  sim.events.at(sim.events.now() + 120 + sim.chance.exponential(200), () => {
    unit.openShorts--;
    sim.writer.state('fitShort', sim.instant(), fitAt, { unit: unit.unit, short, item: 0 });
  });
}

/** Each station stops now and then, until its cause is mended. */
export function startStops(sim: Sim): void {
  for (const [code, place] of sim.places) {
    if (place.station.kind === 'staging') continue;
    const again = (): void => {
      sim.events.at(sim.events.now() + sim.chance.exponential(4_200), () => {
        stop(sim, code, 4 + sim.chance.exponential(18));
        again();
      });
    };
    again();
  }
}

/** Stops the station for `minutes`; who works there then waits. */
export function stop(sim: Sim, code: string, minutes: Minutes): void {
  const place = sim.places.get(code)!;
  const id = sim.writer.state('openStop', sim.instant(), code, { station: code, reason: sim.chance.pick(STOP_REASONS), note: '' });
  for (const unit of place.occupants) unit.extra += minutes;
  sim.events.at(sim.events.now() + minutes, () => {
    sim.writer.state('clearStop', sim.instant(), code, { station: code, stop: id, note: '' });
  });
}
