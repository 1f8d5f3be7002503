import type { TrustReply } from '../contract/trust.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { keptForecastsText } from '../store/forecasts/kept-forecasts.ts';
import { mainLines } from './forecasts.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Workers } from './workers.ts';

const PERIOD_MS = 60 * 86_400_000;

/** Forecasts kept over the last 60 days held against when their units were released. */
export async function forecastTrust(db: Db, workers: Workers, memory: PlantMemory, at: Instant): Promise<TrustReply> {
  const from = at - PERIOD_MS;
  const ready = [...memory.units.values()].flatMap(({ state }): [string, Instant][] => {
    const done = state.released ?? state.shipped;
    return done === null || done < from ? [] : [[state.unit, done]];
  });
  const lines: TrustReply['lines'] = [];
  for (const line of mainLines(memory, at)) {
    const kept = await keptForecastsText(db, memory.code, line, from, at + 1);
    lines.push({ line, ...(await workers.run('forecastScoresOf', { kept, ready, line, setups: memory.setups, floorTime: memory.places.floorTime, at })) });
  }
  return { from, to: at, lines };
}
