import { StationhandError } from '../contract/errors.ts';
import { toWire } from '../contract/fact-wire.ts';
import type { Identity } from '../contract/identity.ts';
import type { FactsReply } from '../contract/replies.ts';
import { reason } from '../contract/shapes.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import { type Missing, missingForRelease } from '../core/gates/release.ts';
import type { Plant } from '../core/setup/plant.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import { officeFacts } from './office-facts.ts';
import { vinsOf } from './offered-vin.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Recorder } from './record-facts.ts';

/** Why the unit may not be released to ship at `at`, in words for people and in the order in which to mend it (definitions §8). Empty when it may. */
export function whyNotReleased(state: UnitState, plant: Plant, at: Instant): string[] {
  const reasons: string[] = [];
  if (state.shipped !== null) reasons.push('it was shipped');
  if (state.cancelled !== null) reasons.push('it was cancelled');
  if (state.released !== null && state.shipped === null) reasons.push('it is released already');
  if (state.stage === 'scheduled') reasons.push('it was not built yet');
  if (state.stage === 'onLine') reasons.push(`it is on the line${state.place ? ` at ${state.place.station}` : ''}`);
  if (state.stage === 'offLine') reasons.push(`it is pulled off the line: ${state.offLineReason ?? ''}`);
  return [...reasons, ...missingForRelease(state, plant, at).map(inWords)];
}

const STANDINGS: Record<string, string> = { missing: 'not made', failed: 'failed', dueAgain: 'due again, work was done in one of its zones', tooOld: 'too old' };

const LACKS: Record<string, string> = {
  noItem: 'that no check of the unit signs as fitted', figures: 'with figures missing', faults: 'with figures that cannot be', notSigned: 'not signed as fitted', changed: 'signed with other figures than the unit has now',
};

function inWords({ kind, what, station, detail }: Missing): string {
  const where = station === null ? '' : ` (${station})`;
  switch (kind) {
    case 'fit': return `left short, to fit: ${what}${where}`;
    case 'fix': return `open work to fix: ${what}${where}`;
    case 'verify': return `open work to verify: ${what}${where}`;
    case 'record': return `number to record: ${what}${where}`;
    case 'campaign': return `campaign not signed: ${what}`;
    case 'settle': return `${detail} gate passed, to be settled by an override: ${what}${where}`;
    case 'check': case 'certify': return `check ${STANDINGS[detail] ?? detail}: ${what}${where}`;
    case 'label': return `label ${LACKS[detail] ?? detail}: ${what}${where}`;
    case 'clear': return `hold open: ${what}`;
    case 'vin': return what === '' ? 'no VIN is bound' : `something is wrong in the VIN ${what}: ${detail}`;
    case 'item': return `to settle: ${what}`;
  }
}

/** Releases the unit to ship. Throws `unknownUnit`, or `releaseRefused` with every reason. */
export async function releaseUnit(memory: PlantMemory, recorder: Recorder, unit: string, by: Identity, now: Instant): Promise<FactsReply> {
  const state = memory.units.get(unit)?.state;
  const plant = setupAt(memory.setups, now)?.plant;
  if (!state?.known || !plant) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  const reasons = whyNotReleased(state, plant, now);
  const same = state.vin === null ? [] : (vinsOf(memory).get(state.vin) ?? []).filter((other) => other !== unit);
  if (same.length > 0) reasons.push(`the VIN ${state.vin} is bound to ${same.join(', ')} too`);
  if (reasons.length > 0) throw new StationhandError('releaseRefused', { what: `${unit} may not be released to ship: ${reasons.join('; ')}.`, where: unit });
  return recorder.record(memory.code, [toWire({ ...officeFacts(by, now)(), kind: 'release', unit })]);
}

/** Takes the release back, with a reason, while the unit is not shipped. Throws `unknownUnit`, `malformedBody`, `releaseRefused`. */
export async function revokeRelease(memory: PlantMemory, recorder: Recorder, unit: string, said: unknown, by: Identity, now: Instant): Promise<FactsReply> {
  const state = memory.units.get(unit)?.state;
  if (!state?.known) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  const parsed = reason.safeParse(said);
  if (!parsed.success) throw new StationhandError('malformedBody', { what: 'reason does not say why the release is taken back.', where: 'reason' });
  if (state.released === null || state.shipped !== null) {
    throw new StationhandError('releaseRefused', { what: `There is no release of ${unit} to take back: it is ${state.shipped === null ? 'not released' : 'shipped'}.`, where: unit, whatToDo: 'Look at the unit.' });
  }
  return recorder.record(memory.code, [toWire({ ...officeFacts(by, now)(), kind: 'revokeRelease', unit, reason: parsed.data })]);
}
