import { v7 } from 'uuid';
import type { Identity } from '../contract/identity.ts';
import type { FactBase } from '../core/facts/fact.ts';
import type { Instant } from '../core/units.ts';

/**
 * What facts that the server states for the office carry. They come from the device that asked for them under a name of the
 * server's own, with a counter that rises with the clock, so that they follow each other in the order they were stated.
 */
export function officeFacts(by: Identity, now: Instant): () => FactBase {
  let counter = now;
  const device = `office ${by.device}`.slice(0, 100);
  return () => ({ id: v7({ msecs: now }), happened: now, told: false, who: by.who, device, counter: counter++ });
}
