import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { KnownCodes } from './read-code.ts';

/** The serials and VINs of the plant's units, in whatever case a label has them. */
export function knownCodes({ units }: Snapshot): KnownCodes {
  const serials = new Map(units.map(({ state }) => [state.unit.toUpperCase(), state.unit]));
  const vins = new Map(units.flatMap(({ state }): [string, string][] => (state.vin === null ? [] : [[state.vin.toUpperCase(), state.unit]])));
  return { serial: (code) => serials.get(code) ?? null, vin: (vin) => vins.get(vin) ?? null };
}
