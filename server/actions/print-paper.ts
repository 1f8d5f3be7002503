import { StationhandError } from '../contract/errors.ts';
import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import type { Plant } from '../core/setup/plant.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import { manufacturedAt } from './build-snapshot.ts';
import { labelSheet } from './paper/label-sheet.ts';
import { placards } from './paper/placards.ts';
import { tags } from './paper/tags.ts';
import { traveler } from './paper/traveler.ts';
import type { PaperLanguage } from './paper/words.ts';
import type { PlantMemory } from './plant-memory.ts';

export type UnitPaper = 'traveler' | 'tags' | 'labels';

/** A paper of a unit as a page to print. Throws `unknownUnit`. */
export async function printUnitPaper(memory: PlantMemory, paper: UnitPaper, unit: string, language: PaperLanguage, at: Instant): Promise<string> {
  const plant = inForce(memory, at);
  const folded = unitOf(memory, unit);
  const { state } = folded;
  if (paper === 'labels') return labelSheet(plant, state, manufacturedAt(memory, plant, folded), at, language);
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

function unitOf(memory: PlantMemory, unit: string): FoldedUnit {
  const folded = memory.units.get(unit);
  if (!folded) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  return folded;
}
