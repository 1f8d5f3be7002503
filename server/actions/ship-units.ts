import { z } from 'zod';
import { StationhandError } from '../contract/errors.ts';
import { toWire } from '../contract/fact-wire.ts';
import type { Identity } from '../contract/identity.ts';
import type { FactsReply } from '../contract/replies.ts';
import { name, reason, text } from '../contract/shapes.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import type { Instant } from '../core/units.ts';
import { officeFacts } from './office-facts.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Recorder } from './record-facts.ts';

/** What is asked, before it is read: `units` serials, `carrier` the truck, `override` why units that are not released go all the same. */
export interface AskedShipment {
  units: unknown;
  carrier: unknown;
  override: unknown;
}

const UNITS_A_TRUCK = 50;
const shipment = z.object({ units: z.array(name).min(1).max(UNITS_A_TRUCK), carrier: text.default(''), override: reason.optional() });

/** Why the unit may not be marked shipped, or null. */
export function whyNotShipped(state: UnitState, override: boolean): string | null {
  if (state.cancelled !== null) return 'it was cancelled';
  if (state.shipped !== null) return 'it is shipped already';
  return state.released === null && !override ? 'it is not released' : null;
}

/** Marks units shipped on one truck, all of them or none. Throws `malformedBody`, `unknownUnit`, or `shipRefused` with every unit that may not go and why. */
export async function shipUnits(memory: PlantMemory, recorder: Recorder, asked: AskedShipment, by: Identity, now: Instant): Promise<FactsReply> {
  const read = shipment.safeParse(asked);
  if (!read.success) throw new StationhandError('malformedBody', { what: `${read.error.issues[0]?.path.join('.') || 'the body'}: ${read.error.issues[0]?.message ?? 'is malformed'}.`, where: 'the body' });
  const { carrier, override } = read.data;
  const units = [...new Set(read.data.units)];
  const states = units.map((unit) => {
    const state = memory.units.get(unit)?.state;
    if (!state?.known) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
    return state;
  });
  const kept = states.flatMap((state) => {
    const why = whyNotShipped(state, override !== undefined);
    return why === null ? [] : [`${state.unit}: ${why}`];
  });
  if (kept.length > 0) throw new StationhandError('shipRefused', { what: `Nothing was marked shipped. ${kept.join('; ')}.`, where: kept[0]!.split(':')[0]! });
  const next = officeFacts(by, now);
  const facts = states.map(({ unit, released }) => ({ ...next(), kind: 'ship' as const, unit, carrier, ...(released === null && override !== undefined ? { override } : {}) }));
  return recorder.record(memory.code, facts.map(toWire));
}
