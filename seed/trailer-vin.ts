import { trailerVin } from '../server/core/gates/trailer-vin.ts';
import type { VinMakeUp } from '../server/core/setup/quality.ts';

/** An invented trailer VIN. A first character 0 belongs to no maker (from memory of ISO 3780). */
export function inventedVin(makeUp: VinMakeUp, model: string, serial: number): string {
  const vin = trailerVin(makeUp, model, serial % 1_000_000);
  if (vin === null) throw new Error(`The demo's make-up of VINs has nothing for model ${model}`);
  return vin;
}
