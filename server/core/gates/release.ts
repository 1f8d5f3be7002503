import type { CheckState } from '../facts/quality-state.ts';
import type { UnitState } from '../facts/unit-state.ts';
import { type Check, isFor } from '../setup/quality.ts';
import type { Plant } from '../setup/plant.ts';
import type { Instant } from '../units.ts';
import { openWork } from './access.ts';
import { checksFor, type CheckStanding, checkStanding } from './check.ts';
import { lackingLabels } from './label-signed.ts';
import { vinFaultCodes } from './vin.ts';

/**
 * Something that keeps a unit from its release to ship, by what mends it: `fit` what was left short, `fix` and `verify` open work, `record` a
 * part, `campaign` a campaign's steps, `settle` a passed gate by an override, `check` a check, `clear` a hold, `vin` a VIN, `certify` the certification label's check,
 * `label` a label to be signed as fitted, `item` what the plant adds.
 */
export type MissingKind = 'fit' | 'fix' | 'verify' | 'record' | 'campaign' | 'settle' | 'check' | 'clear' | 'vin' | 'certify' | 'label' | 'item';

export interface Missing {
  kind: MissingKind;
  /** What, in the plant's own words. */
  what: string;
  /** Where it is mended, or null. */
  station: string | null;
  /** How a check stands, what a label lacks (gates/label-signed.ts), what is wrong with the VIN (empty: none is bound), the gate that was passed. */
  detail: string;
}

/**
 * What is missing for a release at `at` (definitions §8), in the order in which to mend it: work first, for it makes checks due again; then
 * checks, in the order of the set-up; holds; the VIN before the label that bears it; what the plant adds last. Empty: it may be released.
 */
export function missingForRelease(state: UnitState, plant: Plant, at: Instant): Missing[] {
  const { model, options } = state;
  const checks = checksFor(plant, model, options);
  return [
    ...state.shorts.map(({ what, fitAt }): Missing => ({ kind: 'fit', what, station: fitAt, detail: '' })),
    ...openWork(state.work).map(({ what, belongsTo, status, zone }): Missing => ({ kind: status === 'fixed' ? 'verify' : 'fix', what, station: belongsTo, detail: zone ?? '' }))
      .sort((a, b) => Number(a.kind === 'verify') - Number(b.kind === 'verify')),
    ...(plant.partKinds ?? []).filter((kind) => isFor(kind, model, options) && !state.parts.some(({ part, lot }) => part === kind.code && (!kind.lot || lot !== '')))
      .map(({ name, station }): Missing => ({ kind: 'record', what: name, station, detail: '' })),
    ...state.campaigns.filter(({ steps }) => steps.some(({ done }) => done === null)).map(({ title }): Missing => ({ kind: 'campaign', what: title, station: null, detail: '' })),
    ...state.breaches.filter(({ settled }) => settled === null).map(({ gate, detail, station }): Missing => ({ kind: 'settle', what: detail, station, detail: gate })),
    ...checks.filter(({ certification }) => !certification).flatMap((check) => missingCheck(check, state.checks, 'check', at)),
    ...state.holds.map(({ reason, fromStation }): Missing => ({ kind: 'clear', what: reason, station: fromStation, detail: '' })),
    ...missingVin(state, plant),
    ...checks.filter(({ certification }) => certification).flatMap((check) => missingCheck(check, state.checks, 'certify', at)),
    ...lackingLabels(state, plant).map(({ label, item, lack }): Missing => ({ kind: 'label', what: item?.text ?? label, station: item?.station ?? null, detail: lack })),
    ...(plant.releaseItems ?? []).filter(({ code }) => !state.settled.includes(code)).map(({ name }): Missing => ({ kind: 'item', what: name, station: null, detail: '' })),
  ];
}

function missingCheck(check: Check, states: readonly CheckState[], kind: 'check' | 'certify', at: Instant): Missing[] {
  const standing: CheckStanding = checkStanding(check, states.find((state) => state.check === check.code), at);
  return standing === 'passed' ? [] : [{ kind, what: check.name, station: check.station, detail: standing }];
}

/** A VIN is wanted where the plant makes up VINs; a wrong one is wrong anywhere. */
function missingVin({ vin }: UnitState, plant: Plant): Missing[] {
  if (vin === null) return plant.vin ? [{ kind: 'vin', what: '', station: null, detail: '' }] : [];
  const wrong = vinFaultCodes(vin);
  return wrong === '' ? [] : [{ kind: 'vin', what: vin, station: null, detail: wrong }];
}
