import { StationhandError } from '../contract/errors.ts';
import { toWire } from '../contract/fact-wire.ts';
import type { Identity } from '../contract/identity.ts';
import type { FactsReply } from '../contract/replies.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import type { Instant } from '../core/units.ts';
import { officeFacts } from './office-facts.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Recorder } from './record-facts.ts';

/** Why the unit may not be released to ship, in words for people (definitions §8, as far as it is kept). Empty when it may. */
export function whyNotReleased(state: UnitState): string[] {
  const reasons: string[] = [];
  if (state.shipped !== null) reasons.push('it was shipped');
  if (state.cancelled !== null) reasons.push('it was cancelled');
  if (state.released !== null && state.shipped === null) reasons.push('it is released already');
  if (state.stage === 'scheduled') reasons.push('it was not built yet');
  if (state.stage === 'onLine') reasons.push(`it is on the line${state.place ? ` at ${state.place.station}` : ''}`);
  if (state.stage === 'offLine') reasons.push(`it is pulled off the line: ${state.offLineReason ?? ''}`);
  for (const hold of state.holds) reasons.push(`hold open: ${hold.reason}`);
  for (const short of state.shorts) reasons.push(`left short at ${short.station}: ${short.what} (${short.owner})`);
  return reasons;
}

/** Releases the unit to ship. Throws `unknownUnit`, or `releaseRefused` with every reason. */
export async function releaseUnit(memory: PlantMemory, recorder: Recorder, unit: string, by: Identity, now: Instant): Promise<FactsReply> {
  const state = memory.units.get(unit)?.state;
  if (!state?.known) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  const reasons = whyNotReleased(state);
  if (reasons.length > 0) throw new StationhandError('releaseRefused', { what: `${unit} may not be released to ship: ${reasons.join('; ')}.`, where: unit });
  return recorder.record(memory.code, [toWire({ ...officeFacts(by, now)(), kind: 'release', unit })]);
}
