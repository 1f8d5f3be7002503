import { materialNow } from '../../server/actions/forecast-material.ts';
import { lineHistoryBetween } from '../../server/actions/line-history.ts';
import { PlantMemory } from '../../server/actions/plant-memory.ts';
import { inspectionLines } from '../../server/core/forecast/after-line-stages.ts';
import type { RecentVisit } from '../../server/core/forecast/draws-from-history.ts';
import { lineForecast, type LineForecast } from '../../server/core/forecast/line-forecast.ts';
import type { Fact, Recorded } from '../../server/core/facts/fact.ts';
import type { SetupVersion } from '../../server/core/setup/plant.ts';
import { derivationAt, endedVisits } from '../../server/core/timeline/derive-visits.ts';
import type { Instant } from '../../server/core/units.ts';

/** Forecasts of MAIN as they would have been made at each of `instants` (rising) from what had happened until then, and nothing else; and when units were released in the end. */
export function backtest(setups: SetupVersion[], facts: readonly Fact[], instants: readonly Instant[], parts: number): { forecasts: LineForecast[]; released: Map<string, Instant> } {
  const memory = new PlantMemory('P');
  memory.setUp(setups, 1);
  const visits: RecentVisit[] = [];
  const lines = ['MAIN', ...inspectionLines(setups[0]!.plant).map(({ code }) => code)];
  let told = instants[0]! - 40 * 86_400_000;
  let next = 0;
  const forecasts = instants.map((at, i): LineForecast => {
    const until = facts.findIndex((fact, f) => f >= next && fact.happened > at);
    const end = until < 0 ? facts.length : until;
    memory.add(facts.slice(next, end).map((fact, f): Recorded => ({ ...fact, recorded: fact.happened, seq: next + f + 1 })), end);
    next = end;
    for (const line of lines) visits.push(...endedVisits(derivationAt(lineHistoryBetween(memory, line, told, at), Number.POSITIVE_INFINITY), told, at).map(({ visit }) => visit));
    told = at;
    return lineForecast({ ...materialNow(memory, 'MAIN', at), visits }, { seed: i + 1, wanted: 0.8, parts, timesOnly: true })!;
  });
  return { forecasts, released: new Map(facts.flatMap((fact) => (fact.kind === 'release' ? [[fact.unit, fact.happened] as const] : []))) };
}
