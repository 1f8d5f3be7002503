import type { Minutes } from '../server/core/units.ts';
import type { Chance } from './random.ts';
import type { Sim, SimOptions, SimUnit } from './simulate.ts';

/** Puts a unit on the load of a truck; picks up, a truck at a time, what is released by then. */
export interface TruckLoads {
  join(unit: SimUnit): void;
}

const TRUCK_EVERY: Minutes = 230;
/** From the line's end to the truck that production control counts on. */
const AHEAD: Minutes = 620;
const CALLED_BEFORE: Minutes = 240;
const MOST_UNITS = 4;
const CARRIERS = ['Carrier A', 'Carrier B', 'Carrier C'];
const CAME_BACK = ['Awning torn on the road', 'Dealer refused it: slide-out scrapes', 'Door frame bent at loading'];

interface Truck {
  load: string;
  carrier: string;
  units: SimUnit[];
}

/** It has a stream of chance of its own, like the talk of the shift. */
export function startTrucks(sim: Sim, { talkChance: chance, toInstant }: SimOptions): TruckLoads {
  const trucks = new Map<number, Truck[]>();
  const state: Sim['writer']['state'] = (kind, happened, place, own) => sim.writer.state(kind, happened, place, own, chance);
  const truckFor = (n: number): Truck => {
    const own = trucks.get(n) ?? [];
    trucks.set(n, own);
    const free = own.find(({ units }) => units.length < MOST_UNITS);
    if (free) return free;
    const truck: Truck = { load: `L${100 + n}${own.length === 0 ? '' : `-${own.length + 1}`}`, carrier: chance.pick(CARRIERS), units: [] };
    own.push(truck);
    const at = n * TRUCK_EVERY;
    state('planLoad', sim.instant(), 'office', { load: truck.load, carrier: truck.carrier, pickUp: toInstant(at), note: '' });
    sim.events.at(at - CALLED_BEFORE, () => state('callCarrier', sim.instant(), 'office', { load: truck.load, note: '' }));
    sim.events.at(at + 10 * chance.next(), () => pickUp(truck));
    return truck;
  };
  const put = (unit: SimUnit, after: Minutes): void => {
    const truck = truckFor(Math.ceil((sim.events.now() + after) / TRUCK_EVERY));
    truck.units.push(unit);
    state('putOnLoad', sim.instant(), 'office', { unit: unit.unit, load: truck.load });
  };
  const pickUp = ({ carrier, units }: Truck): void => {
    for (const unit of units) {
      if (!unit.released) put(unit, TRUCK_EVERY / 2);
      else {
        state('ship', sim.instant(), 'office', { unit: unit.unit, carrier });
        if (chance.next() < 0.02) comeBack(sim, chance, unit, () => put(unit, AHEAD));
      }
    }
  };
  return { join: (unit) => put(unit, AHEAD) };
}

/** Some come back: they stand in the yard until somebody has mended them, and go with a later truck. */
function comeBack(sim: Sim, chance: Chance, unit: SimUnit, goAgain: () => void): void {
  const reason = chance.pick(CAME_BACK);
  sim.events.at(sim.events.now() + 200 + 400 * chance.next(), () => {
    sim.writer.state('comeBack', sim.instant(), 'office', { unit: unit.unit, reason }, chance);
    sim.writer.state('park', sim.instant(), 'YARD', { unit: unit.unit, place: 'YARD', slot: String(1 + Math.floor(chance.next() * 90)) }, chance);
    unit.released = false;
    goAgain();
    sim.events.at(sim.events.now() + 200 + 300 * chance.next(), () => {
      sim.writer.state('release', sim.instant(), 'office', { unit: unit.unit }, chance);
      unit.released = true;
    });
  });
}
