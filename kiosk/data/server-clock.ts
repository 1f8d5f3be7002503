import type { Instant } from '../../server/core/units.ts';

/** How far the server's clock is ahead of this device's, as one question and its answer told it. */
export interface MeasuredClock {
  /** Milliseconds; negative when the device's clock is fast. */
  ahead: number;
  /** Half of the way there and back: by so much `ahead` can be wrong at most. */
  unsure: number;
  /** The device's instant of the answer. */
  at: Instant;
}

/** What is known of the server's clock. */
export interface KnownClock {
  /** Milliseconds that are added to the device's clock. */
  applied: number;
  /** The best measurement; null: the server was never heard. */
  measured: MeasuredClock | null;
  /** Milliseconds by which the device's clock was set while the server had never been heard. */
  jumped: number;
  /** The last such setting, so that two tabs that both notice it count it once. */
  lastJump: { by: number; at: Instant } | null;
}

export const UNKNOWN_CLOCK: KnownClock = { applied: 0, measured: null, jumped: 0, lastJump: null };

/** Nearer than this a device's clock counts as right, and a correction in use as good: else two scans of one second could change places. */
export const TOLERANCE_MS = 2_000;
/** Quartz clocks lose or gain less than this in a millisecond (200 parts in a million: common practice, no source). */
const DRIFT = 0.0002;
/** A tab in the background is woken once a minute. */
const NOTICED_WITHIN_MS = 120_000;

/** A question sent and answered at these instants of the device, and what the server's clock showed when it answered. */
export function measure(sent: Instant, answered: Instant, server: Instant): MeasuredClock {
  return { ahead: server - (sent + answered) / 2, unsure: (answered - sent) / 2, at: answered };
}

/** The clock as known after `next`: the surer measurement, the newer one where the two cannot both be right; what is applied changes only for a difference that matters. */
export function learn(known: KnownClock, next: MeasuredClock): KnownClock {
  const measured = surer(known.measured, next);
  const off = Math.abs(measured.ahead - known.applied);
  return { ...known, measured, applied: off < TOLERANCE_MS + measured.unsure ? known.applied : Math.round(measured.ahead) };
}

/**
 * An instant read off the device's clock after the server's last answer, which showed `answered`: what a person states having seen that answer did
 * not happen before it. Clocks further apart than `TOLERANCE_MS` are for `learn`.
 */
export function notBefore(read: Instant, answered: Instant | null): Instant {
  return answered !== null && answered > read && answered - read <= TOLERANCE_MS ? answered : read;
}

function surer(kept: MeasuredClock | null, next: MeasuredClock): MeasuredClock {
  if (!kept) return next;
  const aged = kept.unsure + Math.max(0, next.at - kept.at) * DRIFT;
  const contradicts = next.at < kept.at || Math.abs(next.ahead - kept.ahead) > aged + next.unsure;
  return contradicts || next.unsure <= aged ? next : kept;
}

/**
 * The device's clock showed `at` after it moved by `by` ms against its own time since start. Before the server was ever heard that was someone
 * setting it; later the next answer tells.
 */
export function jumped(known: KnownClock, by: number, at: Instant): KnownClock {
  const { measured, lastJump } = known;
  const counted = lastJump !== null && Math.abs(lastJump.by - by) < TOLERANCE_MS && Math.abs(at - lastJump.at) < NOTICED_WITHIN_MS;
  return measured || counted ? known : { ...known, jumped: known.jumped + by, lastJump: { by, at } };
}
