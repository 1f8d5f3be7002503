import { type Access, loadAccess } from '../../store/access/load-access.ts';
import type { Db } from '../../store/database.ts';

export interface AccessMemory {
  /** People and devices as they stand; a change at another server shows after at most `FRESH_MS`. */
  now(): Promise<Access>;
  /** Something changed here: it is read anew, and who listens is told. */
  changed(): void;
  onChange(listener: () => void): void;
}

const FRESH_MS = 1_000;

export function createAccessMemory(db: Db): AccessMemory {
  let kept: { until: number; access: Promise<Access> } | null = null;
  const listeners = new Set<() => void>();
  return {
    now() {
      if (kept && performance.now() < kept.until) return kept.access;
      const entry = { until: performance.now() + FRESH_MS, access: loadAccess(db) };
      kept = entry;
      entry.access.catch(() => kept === entry && (kept = null));
      return entry.access;
    },
    changed() {
      kept = null;
      for (const listener of listeners) listener();
    },
    onChange: (listener) => void listeners.add(listener),
  };
}
