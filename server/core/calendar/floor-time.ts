import type { FloorTime } from '../timeline/line-history.ts';
import type { Instant } from '../units.ts';
import type { Shift } from './shifts.ts';
import { type Stretch, union, within, without } from './stretches.ts';

/**
 * A crew that says within two hours of the end of its work that the line is open went on working; later, it came back. Two hours are
 * more than a station's longest work, so that the first scan after the end still asks in time. Common practice, no source.
 */
const WENT_ON_MS = 120 * 60_000;

/**
 * The working stretches after what the floor said on the day (definitions §1): open until goes on past the shift's end, gone home
 * ends the work until the next shift starts. Said in order; the later word counts.
 */
export function applyFloorTime(stretches: readonly Stretch[], shifts: readonly Shift[], said: readonly FloorTime[]): Stretch[] {
  let result = [...stretches];
  let wentHome = Number.NEGATIVE_INFINITY;
  for (const { kind, happened, until } of [...said].sort((a, b) => a.happened - b.happened)) {
    if (kind === 'openUntil') {
      const open = { from: openFrom(result, shifts, happened, wentHome), to: until ?? happened };
      result = union([...result, ...outside(shifts, open), ...within(stretches, open)]);
    } else {
      wentHome = happened;
      const next = shifts.find(({ start }) => start > happened);
      result = without(result, { from: happened, to: next?.start ?? Number.POSITIVE_INFINITY });
    }
  }
  return result;
}

/** From when the line is open: from the saying, or, when the crew went on after its work ended, from that end. */
function openFrom(result: readonly Stretch[], shifts: readonly Shift[], happened: Instant, wentHome: Instant): Instant {
  if (shifts.some(({ start, end }) => start <= happened && happened < end)) return happened;
  const ended = result.reduce((latest, { from, to }) => (from <= happened ? Math.max(latest, to) : latest), Number.NEGATIVE_INFINITY);
  return ended <= happened && happened - ended <= WENT_ON_MS && wentHome < ended ? ended : happened;
}

/** What of `open` lies outside every shift: there is no break in it. In a shift the shift's own stretches hold, its breaks stay breaks. */
function outside(shifts: readonly Shift[], open: Stretch): Stretch[] {
  let rest = open.to > open.from ? [open] : [];
  for (const { start, end } of shifts) rest = without(rest, { from: start, to: end });
  return rest;
}
