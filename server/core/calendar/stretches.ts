import type { Instant } from '../units.ts';

/** A stretch of time, `to` not in it. */
export interface Stretch {
  from: Instant;
  to: Instant;
}

/** Sorted, without empty stretches, and with those that touch or overlap made one. */
export function union(stretches: readonly Stretch[]): Stretch[] {
  const sorted = stretches.filter(({ from, to }) => to > from).sort((a, b) => a.from - b.from);
  const merged: Stretch[] = [];
  for (const { from, to } of sorted) {
    const last = merged[merged.length - 1];
    if (last && from <= last.to) last.to = Math.max(last.to, to);
    else merged.push({ from, to });
  }
  return merged;
}

/** What of `stretches` (sorted, apart) lies outside `cut`. */
export function without(stretches: readonly Stretch[], cut: Stretch): Stretch[] {
  if (cut.to <= cut.from) return [...stretches];
  return stretches.flatMap(({ from, to }) => {
    if (to <= cut.from || from >= cut.to) return [{ from, to }];
    return [{ from, to: cut.from }, { from: cut.to, to }].filter((part) => part.to > part.from);
  });
}

/** What of `stretches` lies in `frame`. */
export function within(stretches: readonly Stretch[], frame: Stretch): Stretch[] {
  return stretches.map(({ from, to }) => ({ from: Math.max(from, frame.from), to: Math.min(to, frame.to) })).filter(({ from, to }) => to > from);
}

/** Index of the last stretch that begins at or before `t`, or -1. `stretches` is sorted. */
export function lastFrom(stretches: readonly Stretch[], t: Instant): number {
  let [low, high] = [0, stretches.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (stretches[middle]!.from <= t) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
