import { StationhandError } from '../contract/errors.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Cell, Table } from '../core/tables/table.ts';
import type { Instant } from '../core/units.ts';
import { unreleasedShips } from './build-snapshot.ts';
import type { PlantMemory } from './plant-memory.ts';

/** Units that are gone without a release and without an override, said first; then those released and not shipped, by dealer, the earliest promise first. */
export function shipList(memory: PlantMemory, at: Instant): Table {
  const plant = setupAt(memory.setups, at)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  const ready = [...memory.units.values()].map(({ state }) => state).filter(({ released, shipped, cancelled }) => released !== null && shipped === null && cancelled === null)
    .sort((a, b) => (a.dealer < b.dealer ? -1 : a.dealer > b.dealer ? 1 : 0) || (a.promise ?? '9999').localeCompare(b.promise ?? '9999') || (a.unit < b.unit ? -1 : 1));
  return {
    title: 'Ship list', timeZone: plant.timeZone,
    columns: [
      { name: 'dealer', type: 'text' }, { name: 'serial', type: 'text' }, { name: 'vin', type: 'text' }, { name: 'model', type: 'text' }, { name: 'order', type: 'text' },
      { name: 'promise', type: 'date' }, { name: 'released', type: 'instant' }, { name: 'place', type: 'text' }, { name: 'slot', type: 'text' }, { name: 'load', type: 'text' }, { name: 'shippedWithoutRelease', type: 'instant' },
    ],
    rows: [...unreleasedShips(memory).map(({ unit, at: gone }) => rowOf(memory.units.get(unit)!.state, gone)), ...ready.map((state) => rowOf(state, null))],
  };
}

function rowOf(state: UnitState, gone: Instant | null): Cell[] {
  return [state.dealer, state.unit, state.vin, state.model, state.order, state.promise, state.released, state.place?.station ?? null, state.place?.slot ?? null, state.load, gone];
}
