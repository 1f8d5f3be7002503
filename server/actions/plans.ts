import { z } from 'zod';
import { StationhandError } from '../contract/errors.ts';
import { type ComparedSide, type ComparedUnit, type PlansReply, plansSchema, type WaysBackReply } from '../contract/plans.ts';
import type { UnitChange } from '../core/forecast/compare.ts';
import type { PlanChange } from '../core/forecast/plan-change.ts';
import type { UnitForecast } from '../core/forecast/summary.ts';
import { findStation, setupAt } from '../core/setup/setup-at.ts';
import { type Instant, MS_PER_MINUTE } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { postedMaterial } from './forecast-material.ts';
import { probabilitiesOf } from './forecast-reply.ts';
import { mainLines, seedOf } from './forecasts.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Workers } from './workers.ts';

export interface PlansParts {
  db: Db;
  workers: Workers;
}

/** The plan with `body`'s changes beside today's, under the draws of today's forecast. Throws `malformedBody`, `unknownUnit`. */
export async function comparedPlans({ db, workers }: PlansParts, memory: PlantMemory, body: unknown, at: Instant): Promise<PlansReply> {
  const parsed = plansSchema.safeParse(body);
  if (!parsed.success) throw new StationhandError('malformedBody', { what: z.prettifyError(parsed.error), where: parsed.error.issues[0]?.path.join('.') || 'the body' });
  const { changes } = parsed.data;
  for (const change of changes) needKnown(memory, change, at);
  const units: ComparedUnit[] = [];
  for (const line of mainLines(memory, at)) {
    const posted = await postedMaterial(db, memory, line, at);
    const told = await workers.run('comparedPlansOf', { posted, changes, seed: seedOf(memory.code, memory.version) });
    for (const change of told ?? []) units.push(...comparedUnit(memory, line, change));
  }
  const sum = (side: (unit: ComparedUnit) => ComparedSide): number => units.reduce((total, unit) => total + (side(unit).missing ?? 0), 0);
  return {
    made: at, changes, lateBefore: sum(({ before }) => before), lateAfter: sum(({ after }) => after),
    units: units.sort((a, b) => (a.missing ?? 0) - (b.missing ?? 0) || (a.minutes ?? 0) - (b.minutes ?? 0) || (a.unit < b.unit ? -1 : 1)),
  };
}

function needKnown(memory: PlantMemory, change: PlanChange, at: Instant): void {
  const plant = setupAt(memory.setups, at)?.plant;
  const units = change.kind === 'sequence' ? [change.unit, change.before] : change.kind === 'clearHold' ? [change.unit] : [];
  for (const unit of units) if (!memory.units.has(unit)) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.`, where: 'changes' });
  if ('station' in change && (!plant || !findStation(plant, change.station)?.line)) throw new StationhandError('malformedBody', { what: `No line has a station ${change.station}.`, where: 'changes' });
  if (change.kind === 'overtime' && change.to < change.from) throw new StationhandError('malformedBody', { what: 'The overtime ends before it begins.', where: 'changes' });
}

function comparedUnit(memory: PlantMemory, line: string, { unit, before, after, missing }: UnitChange): ComparedUnit[] {
  const state = memory.units.get(unit)?.state;
  // One that is released is ready whatever the plan.
  if (!state || state.released !== null) return [];
  const minutes = Number.isFinite(before.p50) && Number.isFinite(after.p50) ? (after.p50 - before.p50) / MS_PER_MINUTE : null;
  return [{ unit, line, promise: state.promise, before: sideOf(before), after: sideOf(after), minutes, missing }];
}

function sideOf({ p10, p50, p90, missing }: UnitForecast): ComparedSide {
  const finite = (t: Instant): Instant | null => (Number.isFinite(t) ? t : null);
  return { p10: finite(p10), p50: finite(p50), p90: finite(p90), missing };
}

/** What overtime would bring the unit back. Throws `unknownUnit`. */
export async function unitWaysBack({ db, workers }: PlansParts, memory: PlantMemory, unit: string, at: Instant): Promise<WaysBackReply> {
  if (!memory.units.has(unit)) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  const { wanted } = probabilitiesOf(memory, at);
  for (const line of mainLines(memory, at)) {
    const posted = await postedMaterial(db, memory, line, at);
    const ways = await workers.run('waysBackOf', { posted, unit, seed: seedOf(memory.code, memory.version), wanted });
    if (ways && ways.length > 0) return { unit, wanted, ways };
  }
  return { unit, wanted, ways: [] };
}
