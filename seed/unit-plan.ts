import { addDays, localOf, weekdayOf } from '../server/core/calendar/zone.ts';
import type { Plant } from '../server/core/setup/plant.ts';
import type { Instant } from '../server/core/units.ts';
import type { Chance } from './random.ts';

export interface PlannedUnit {
  unit: string;
  model: string;
  options: string[];
  order: string;
  dealer: string;
  sequence: number;
  plannedRelease: Instant;
  wish: string;
  promise: string;
}

const FIRST_SERIAL = 104_000;

/** The `n`-th unit of the demo's schedule, released at `plannedRelease`; every value is invented. */
export function plannedUnit(plant: Plant, n: number, plannedRelease: Instant, chance: Chance): PlannedUnit {
  const model = chance.next() < 0.45 ? plant.models[1]! : chance.next() < 0.6 ? plant.models[0]! : plant.models[2]!;
  const options = plant.options.filter(() => chance.next() < 0.25).map((option) => option.code);
  const day = localOf(plant.timeZone, plannedRelease).date;
  const days = chance.next() < 0.12 ? 2 : 4 + Math.floor(chance.next() * 3);
  const promise = workdaysAfter(day, days);
  return {
    unit: `CF${FIRST_SERIAL + n}`,
    model: model.code,
    options,
    order: `SO-${20_000 + n * 3}`,
    dealer: `Dealer ${String(1 + Math.floor(chance.next() * 18)).padStart(2, '0')}`,
    sequence: n,
    plannedRelease,
    wish: chance.next() < 0.3 ? workdaysAfter(day, days - 1) : promise,
    promise,
  };
}

function workdaysAfter(date: string, days: number): string {
  let day = date;
  for (let left = days; left > 0; ) {
    day = addDays(day, 1);
    const weekday = weekdayOf(day);
    if (weekday !== 'sat' && weekday !== 'sun') left--;
  }
  return day;
}
