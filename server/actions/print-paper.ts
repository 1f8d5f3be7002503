import { StationhandError } from '../contract/errors.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import type { Plant } from '../core/setup/plant.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import { placards } from './paper/placards.ts';
import { tags } from './paper/tags.ts';
import { traveler } from './paper/traveler.ts';
import type { PaperLanguage } from './paper/words.ts';
import type { PlantMemory } from './plant-memory.ts';

export type UnitPaper = 'traveler' | 'tags';

/** A paper of a unit as a page to print. Throws `unknownUnit`. */
export async function printUnitPaper(memory: PlantMemory, paper: UnitPaper, unit: string, language: PaperLanguage, at: Instant): Promise<string> {
  const { plant, state } = { plant: inForce(memory, at), state: stateOf(memory, unit) };
  return paper === 'traveler' ? traveler(plant, state, at, language) : tags(plant, state, language);
}

export async function printPlacards(memory: PlantMemory, language: PaperLanguage, at: Instant): Promise<string> {
  return placards(inForce(memory, at), language);
}

function inForce(memory: PlantMemory, at: Instant): Plant {
  const plant = setupAt(memory.setups, at)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  return plant;
}

function stateOf(memory: PlantMemory, unit: string): UnitState {
  const state = memory.units.get(unit)?.state;
  if (!state) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  return state;
}
