import { REMOVED } from '../facts/evolve-parts.ts';
import type { PartOut } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { Instant } from '../units.ts';
import type { ShortItem } from './forecast-material.ts';

/**
 * What units are or were short of because a part was taken out of them for another unit: from then until one of its kind is recorded on them
 * again. What is taken out while one of the kind is short already adds nothing. `nameOf`: a kind's name by its code.
 */
export function movedShorts(units: Iterable<Pick<UnitState, 'unit' | 'parts' | 'partsOut' | 'shorts'>>, nameOf: (part: string) => string): ShortItem[] {
  return [...units].flatMap((state) => {
    const moved = state.partsOut.filter(({ removed }) => removed.takenFor !== null).sort((a, b) => a.removed.at - b.removed.at);
    return [...new Set(moved.map(({ part }) => part))].flatMap((part) => shortsOf(state, part, moved.filter((out) => out.part === part), nameOf(part)));
  });
}

function shortsOf({ unit, parts, partsOut, shorts }: Pick<UnitState, 'unit' | 'parts' | 'partsOut' | 'shorts'>, part: string, moved: readonly PartOut[], what: string): ShortItem[] {
  const recorded = [...parts, ...partsOut].filter((one) => one.part === part).map(({ at }) => at).sort((a, b) => a - b);
  const items: ShortItem[] = [];
  let filledUntil: Instant | null = Number.NEGATIVE_INFINITY;
  for (const { id, removed: { at: opened } } of moved) {
    if (filledUntil === null || opened < filledUntil) continue;
    const fitted: Instant | null = recorded.find((at) => at > opened) ?? null;
    items.push({ unit, id: `${id}/out`, what, opened, fitted });
    filledUntil = fitted;
  }
  // Settled in another way than by a part of its kind: how long it took is not known.
  const open = shorts.some((one) => one.short === `${REMOVED}${part}`);
  return items.filter(({ fitted }) => fitted !== null || open);
}
