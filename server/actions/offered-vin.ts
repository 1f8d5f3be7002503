import { StationhandError } from '../contract/errors.ts';
import type { OfferedVin } from '../contract/replies.ts';
import { nextTrailerVin } from '../core/gates/trailer-vin.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { PlantMemory } from './plant-memory.ts';

/** The VIN to offer for the unit: null where the plant has no make-up of VINs for its model. Throws `unknownUnit`. */
export function offeredVin(memory: PlantMemory, unit: string, at: Instant): OfferedVin {
  const state = memory.units.get(unit)?.state;
  if (!state?.known) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  const makeUp = setupAt(memory.setups, at)?.plant.vin;
  const vin = makeUp && state.model !== null ? nextTrailerVin(makeUp, state.model, vinsOf(memory).keys()) : null;
  return { vin };
}

/** The VINs bound in the plant, each with the units that have it. */
export function vinsOf(memory: PlantMemory): Map<string, string[]> {
  const vins = new Map<string, string[]>();
  for (const { state } of memory.units.values()) {
    if (state.vin !== null && state.cancelled === null) vins.set(state.vin, [...(vins.get(state.vin) ?? []), state.unit]);
  }
  return vins;
}
