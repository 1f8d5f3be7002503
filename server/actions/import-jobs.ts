import { parseClaimsCsv } from '../contract/claims-csv.ts';
import { parseUnitsCsv } from '../contract/units-csv.ts';
import type { Plant } from '../core/setup/plant.ts';

/** A file to read, and the plant by whose codes. */
export interface CsvOfPlant {
  text: string;
  plant: Plant;
}

export function unitsOfCsv({ text, plant }: CsvOfPlant): ReturnType<typeof parseUnitsCsv> {
  return parseUnitsCsv(text, plant);
}

export function claimsOfCsv({ text, plant }: CsvOfPlant): ReturnType<typeof parseClaimsCsv> {
  return parseClaimsCsv(text, plant);
}
