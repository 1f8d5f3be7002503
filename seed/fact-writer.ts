import { v7 } from 'uuid';
import type { Fact, FactKind } from '../server/core/facts/fact.ts';
import type { Instant } from '../server/core/units.ts';
import type { Chance } from './random.ts';

type Own<K extends FactKind> = Omit<Extract<Fact, { kind: K }>, 'kind' | 'id' | 'happened' | 'told' | 'who' | 'device' | 'counter'>;

/** Writes facts as a kiosk would: time-ordered ids, a counter per device. */
export interface FactWriter {
  /** States a fact and returns its id, drawn from `ids` or the writer's own chance. `who` and `device` follow from the place it is stated at. */
  state<K extends FactKind>(kind: K, happened: Instant, place: string, own: Own<K>, ids?: Chance): string;
  /** What was stated since the last call, in the order of stating. */
  take(): Fact[];
}

/** Devices are named by `prefix`; writers that share `stated` state into one list, in the order of stating. */
export function createFactWriter(chance: Chance, prefix: 'kiosk' | 'tablet' = 'kiosk', stated: { facts: Fact[] } = { facts: [] }): FactWriter {
  const counters = new Map<string, number>();
  return {
    state(kind, happened, place, own, ids = chance) {
      const device = place === 'office' ? `office-${prefix === 'kiosk' ? 1 : 2}` : `${prefix}-${place}`;
      const counter = (counters.get(device) ?? 0) + 1;
      counters.set(device, counter);
      const random = Uint8Array.from({ length: 16 }, () => Math.floor(ids.next() * 256));
      const id = v7({ msecs: happened, random });
      const who = place === 'office' ? 'badge-office' : `badge-${place}`;
      stated.facts.push({ kind, id, happened, told: false, who, device, counter, ...own } as unknown as Fact);
      return id;
    },
    take() {
      const taken = stated.facts;
      stated.facts = [];
      return taken;
    },
  };
}
