import { isoWeekOf, type IsoWeek } from '../calendar/iso-week.ts';
import { localOf } from '../calendar/zone.ts';
import type { ClaimState } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import { coverers } from '../gates/access.ts';
import type { Plant } from '../setup/plant.ts';
import type { Check } from '../setup/quality.ts';
import type { Stay } from '../timeline/line-history.ts';

/** A dealer's claim with where it leads back to. */
export interface ClaimBack extends ClaimState {
  unit: string;
  vin: string | null;
  model: string | null;
  dealer: string;
  /** Whose work it was: as the claim says, else where its part is fitted, else where its zone is closed; null where nothing tells. */
  ledTo: string | null;
  /** The week in which the unit left that station last, null where it was not scanned there. */
  week: IsoWeek | null;
  /** Codes of the checks that let it pass. */
  checks: string[];
}

/** Where the claims of a unit lead back to: station, week, and the checks that let what is claimed pass. */
export function claimsBack(plant: Plant, state: UnitState, stays: readonly Stay[]): ClaimBack[] {
  return state.claims.map((claim) => {
    const kind = plant.partKinds?.find(({ code }) => code === claim.part);
    const ledTo = claim.station ?? kind?.station ?? (claim.zone === null ? null : (coverers(plant, claim.zone)[0] ?? null));
    const left = stays.reduce<number | null>((latest, stay) => (stay.station === ledTo && stay.left !== null ? Math.max(latest ?? 0, stay.left) : latest), null);
    const week = left === null ? null : isoWeekOf(localOf(plant.timeZone, left).date);
    return { ...claim, unit: state.unit, vin: state.vin, model: state.model, dealer: state.dealer, ledTo, week, checks: letPass(plant, state, claim.zone ?? kind?.zone ?? null, ledTo) };
  });
}

/** Of the checks the unit passed: those that look at the zone; where none does, the first one at or after the station. */
function letPass(plant: Plant, state: UnitState, zone: string | null, station: string | null): string[] {
  const order = plant.lines.flatMap(({ stations }) => stations.map(({ code }) => code));
  const passed = (plant.checks ?? []).filter(({ code }) => state.checks.some((one) => one.check === code && one.passedAt !== null));
  const looks = ({ zones, items }: Check): boolean => zone !== null && (zones.includes(zone) || items.some((item) => item.zone === zone));
  const looking = passed.filter(looks);
  if (looking.length > 0 || station === null) return looking.map(({ code }) => code);
  const at = order.indexOf(station);
  return passed.filter((check) => order.indexOf(check.station) >= at).sort((a, b) => order.indexOf(a.station) - order.indexOf(b.station)).slice(0, 1).map(({ code }) => code);
}
