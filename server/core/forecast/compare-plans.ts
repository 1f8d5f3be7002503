import { addDays, localOf } from '../calendar/zone.ts';
import type { LocalDate, Minutes } from '../units.ts';
import { compareRuns, type UnitChange } from './compare.ts';
import { type Ensemble, ensembleOf, runEnsemble } from './ensemble.ts';
import type { ForecastMaterial } from './forecast-material.ts';
import { changedHolds, changedInput, changedMaterial, type PlanChange } from './plan-change.ts';
import { shareBy } from './summary.ts';

/** The changed plan beside today's, under the same draws (definitions §6). Null when the set-up has no such line. */
export function comparePlans(material: ForecastMaterial, changes: readonly PlanChange[], seed: number): UnitChange[] | null {
  const before = ensembleOf(material, seed);
  const after = planned(material, changes, seed);
  return before && after ? compareRuns(before.members[0]!, runEnsemble(before.members, seed), after.members[0]!, runEnsemble(after.members, seed)) : null;
}

function planned(material: ForecastMaterial, changes: readonly PlanChange[], seed: number, parts?: number): Ensemble | null {
  const ensemble = ensembleOf(changedMaterial(material, changes), seed, (input) => changedInput(input, changes), parts);
  return ensemble && { ...ensemble, members: ensemble.members.map((member) => changedHolds(member, changes)) };
}

/** One way to bring a unit back: the changes, and the probability with which it then still misses its promise. */
export interface WayBack {
  changes: PlanChange[];
  missing: number;
  /** It makes its promise with the wanted probability. */
  enough: boolean;
}

const STEPS: readonly Minutes[] = [30, 60, 90, 120, 180, 240];
const SEARCH_PARTS = 2;

/**
 * What overtime would bring `unit` back (definitions §6: the same draws for all): the least that does, of half an hour to four hours a day until its promise;
 * and the least with the Saturday before it worked too, where there is one. Where nothing is enough the most is told. Null for a unit without a promise ahead.
 */
export function waysBack(material: ForecastMaterial, unit: string, seed: number, wanted: number): WayBack[] | null {
  const zone = material.history.setups.at(-1)?.plant.timeZone ?? 'UTC';
  const promise = material.promises.find((one) => one.unit === unit)?.promise;
  const today = localOf(zone, material.at).date;
  if (promise === undefined || promise < today) return null;
  const least = (more: PlanChange[]): WayBack | null => {
    let told: WayBack | null = null;
    for (const minutes of more.length > 0 ? [0, ...STEPS] : STEPS) {
      const changes: PlanChange[] = minutes === 0 ? more : [...more, { kind: 'overtime', from: today, to: promise, minutes }];
      const missing = missingWith(material, changes, unit, seed);
      if (missing === null) return null;
      told = { changes, missing, enough: missing <= 1 - wanted };
      if (told.enough) break;
    }
    return told;
  };
  const saturday = saturdayBetween(today, promise);
  return [least([]), saturday === null ? null : least([{ kind: 'extraDay', date: saturday }])].filter((way) => way !== null);
}

function missingWith(material: ForecastMaterial, changes: readonly PlanChange[], unit: string, seed: number): number | null {
  const ensemble = planned(material, changes, seed, SEARCH_PARTS);
  const u = ensemble?.members[0]!.units.names.indexOf(unit) ?? -1;
  return ensemble && u >= 0 ? 1 - shareBy(runEnsemble(ensemble.members, seed), u, ensemble.members[0]!.units.promise[u]!) : null;
}

function saturdayBetween(from: LocalDate, to: LocalDate): LocalDate | null {
  for (let date = from; date <= to; date = addDays(date, 1)) if (new Date(`${date}T00:00:00Z`).getUTCDay() === 6) return date;
  return null;
}
