import type { Fact } from './fact.ts';

/**
 * The order of facts (definitions §2): happened, the device's counter, device, id. The order in which they reached the server
 * makes no difference.
 */
export function compareFacts(a: Fact, b: Fact): number {
  if (a.happened !== b.happened) return a.happened - b.happened;
  if (a.counter !== b.counter) return a.counter - b.counter;
  if (a.device !== b.device) return a.device < b.device ? -1 : 1;
  return a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
}
