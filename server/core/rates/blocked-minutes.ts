import { union } from '../calendar/stretches.ts';
import type { WorkingTime } from '../calendar/working-time.ts';
import { keepsHere, stepOf } from '../timeline/derivation.ts';
import type { LineHistory, UnitHistory } from '../timeline/line-history.ts';
import type { Visit } from '../timeline/visit.ts';
import type { Instant, Minutes } from '../units.ts';

/**
 * Blocked minutes of a visit that lie in [from, to) (definitions §3): it waited from its finish, roll lag was the last of it, and what
 * a hold kept it for is held. `until` is its leave, or the instant at which the visit was told.
 */
export function blockedBetween(history: LineHistory, unit: UnitHistory, visit: Visit, time: WorkingTime, until: Instant, from: Instant, to: Instant): Minutes {
  const stay = unit.stays.find((own) => own.line === visit.line && own.station === visit.station && own.arrived === visit.arrived);
  if (!stay || visit.finished === null || visit.minutes.blocked === 0) return 0;
  const { finished } = visit;
  const beforeRollLag = time.workingBetween(finished, until) - visit.minutes.rollLag;
  /** Working minutes from the finish to `t`, as far as roll lag had not begun. */
  const waited = (t: Instant): Minutes => Math.min(beforeRollLag, time.workingBetween(finished, Math.min(until, Math.max(finished, t))));
  const { next } = stepOf(history, { ...stay, of: unit });
  const holds = unit.holds.filter((hold) => keepsHere(hold, next)).map((hold) => ({ from: Math.max(hold.opened, from), to: Math.min(hold.cleared ?? until, to) }));
  const held = union(holds).reduce((sum, hold) => sum + waited(hold.to) - waited(hold.from), 0);
  return Math.max(0, waited(to) - waited(from) - held);
}
