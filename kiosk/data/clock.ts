import type { Instant } from '../../server/core/units.ts';
import { jumped, type KnownClock, learn, measure, notBefore, TOLERANCE_MS, UNKNOWN_CLOCK } from './server-clock.ts';

const KEY = 'stationhand-clock';

/** An instant for a fact. */
export interface Reading {
  happened: Instant;
  /** Milliseconds that were added to the device's clock for it. */
  corrected: number;
  /** Null when the server's clock was heard since this page opened and the device's has not been set since; else `KnownClock.jumped`, for `correctLater`. */
  unsure: number | null;
}

/** Whether the server was heard since this page opened or the device's clock was set. */
let heard = false;
let lastSkew = skew();
/** What the server's clock showed at its latest answer, null since this device's was set. */
let lastAnswer: Instant | null = null;

/** Now by the server's clock, so that two devices tell the same minute. */
export function serverNow(): Instant {
  watch();
  return Date.now() + known().applied;
}

export function readClock(): Reading {
  watch();
  const { applied, jumped: by } = known();
  return { happened: notBefore(Math.round(Date.now() + applied), lastAnswer), corrected: applied, unsure: heard ? null : by };
}

/** The server answered at `server` by its clock what was asked at `sent` by this device's. */
export function noteServerClock(sent: Instant, server: Instant): void {
  const answered = Date.now();
  // The device's clock was set between question and answer: it tells nothing.
  if (watch() || answered < sent) return;
  heard = true;
  lastAnswer = Math.max(server, lastAnswer ?? server);
  keep(learn(known(), measure(sent, answered, server)));
}

/** How far the server's clock is ahead of this device's, null while it was never heard. */
export function clockAhead(): number | null {
  const { applied, measured } = known();
  return measured ? applied : null;
}

/** The reading as the server's clock has it, once it is heard; null until then. */
export function correctLater({ happened, corrected, unsure }: Reading): Reading | null {
  watch();
  if (unsure === null) return { happened, corrected, unsure };
  if (!heard) return null;
  const { applied, jumped: by } = known();
  const moved = applied + by - unsure;
  return { happened: happened - corrected + moved, corrected: moved, unsure: null };
}

/** Notices that the device's clock was set: it no longer goes with the time since the page opened. */
function watch(): boolean {
  const now = skew();
  const by = now - lastSkew;
  if (Math.abs(by) < TOLERANCE_MS) return false;
  lastSkew = now;
  heard = false;
  lastAnswer = null;
  keep(jumped(known(), Math.round(by), Date.now()));
  return true;
}

function skew(): number {
  return Date.now() - performance.timeOrigin - performance.now();
}

/** In the storage that two tabs share, so that both correct alike. */
function known(): KnownClock {
  try {
    return { ...UNKNOWN_CLOCK, ...(JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<KnownClock>) };
  } catch {
    return UNKNOWN_CLOCK;
  }
}

function keep(clock: KnownClock): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(clock));
  } catch {
    // A full disk: what was kept before holds, and the next answer is as good.
  }
}
