import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { type Missing, missingForRelease } from '../../server/core/gates/release.ts';
import type { Instant } from '../../server/core/units.ts';
import { qualityPath, screenPath, stationPath, unitPath } from './route.ts';

/** A unit that is built and not released yet, with what is missing. */
export interface Unreleased {
  row: UnitRow;
  missing: Missing[];
}

/** Units that quality may soon release: those at inspection or in the yard, the ones with least missing first. */
export function unreleased(view: Snapshot, at: Instant): Unreleased[] {
  return view.units.filter(({ state }) => state.known && state.released === null && (state.stage === 'yard' || state.stage === 'inspection'))
    .map((row) => ({ row, missing: missingForRelease(row.state, view.plant, at) }))
    .toSorted((a, b) => a.missing.length - b.missing.length || (a.row.state.promise ?? '9999').localeCompare(b.row.state.promise ?? '9999'));
}

/** Released units by dealer, the dealers in order, the earliest promise first. */
export function readyByDealer(view: Snapshot): { dealer: string; rows: UnitRow[] }[] {
  const ready = view.units.filter(({ state }) => state.released !== null).toSorted((a, b) => (a.state.promise ?? '9999').localeCompare(b.state.promise ?? '9999') || (a.state.unit < b.state.unit ? -1 : 1));
  const dealers = [...new Set(ready.map(({ state }) => state.dealer))].sort();
  return dealers.map((dealer) => ({ dealer, rows: ready.filter(({ state }) => state.dealer === dealer) }));
}

/** Where what is missing is mended; null for what is settled on the Release screen itself. */
export function mendedAt(plant: string, { state }: UnitRow, { kind, station }: Missing): string | null {
  const { unit } = state;
  switch (kind) {
    case 'fit': return stationPath(plant, state.place?.station ?? station ?? '');
    case 'fix': case 'verify': return qualityPath(plant, 'work', { unit });
    case 'check': case 'certify': case 'label': return qualityPath(plant, 'checks', { unit, at: station ?? '' });
    case 'settle': return qualityPath(plant, 'access', { unit });
    case 'clear': return screenPath(plant, 'holds');
    case 'record': return qualityPath(plant, 'parts', { unit, at: station ?? '' });
    case 'campaign': return qualityPath(plant, 'trace', {});
    case 'vin': return unitPath(plant, unit);
    case 'item': return null;
  }
}
