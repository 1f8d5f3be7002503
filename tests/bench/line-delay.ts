import { demoPlant, simulateDemo } from '../../seed/load-demo.ts';
import { lineDelay } from '../../server/core/delay/line-delay.ts';
import { preparedDelay } from '../../server/core/delay/put-in.ts';
import { planOf } from '../../server/core/delay/plan-units.ts';
import { recurAll } from '../../server/core/delay/recursion.ts';
import { lineHistoryOf } from '../../server/core/facts/line-history-of.ts';
import { derivationAt } from '../../server/core/timeline/derive-visits.ts';
import type { LineHistory } from '../../server/core/timeline/line-history.ts';
import type { BenchResult } from './run.ts';

const NOW = Date.parse('2026-06-05T18:00:00Z');
const MS_PER_DAY = 86_400_000;
const WEEK = 7 * MS_PER_DAY;
const ROUNDS = 3;
const MOST_MS = 1_000;

/** Line delay of the demo plant's last week, everything from its facts folded to the causes in order, beside telling the whole plan again for each. */
export async function lineDelayBench(): Promise<BenchResult> {
  const plant = demoPlant(NOW);
  const start = NOW - 8 * WEEK;
  const setups = [{ version: 1, validFrom: start - MS_PER_DAY, plant }];
  const history = lineHistoryOf('MAIN', setups, simulateDemo({ plant, now: NOW, seed: 7, speed: 1 }).factsUntil(NOW));
  const told = lineDelay(history, NOW - WEEK, NOW);
  const ours = bestOf(() => lineDelay(history, NOW - WEEK, NOW));
  const plain = bestOf(() => tellAllAgain(history, told.lastUnit!));
  const total = tellAllAgain(history, told.lastUnit!);
  if (Math.abs(total - told.totalMinutes) > 1e-9) throw new Error(`The two ways differ: ${told.totalMinutes} and ${total} minutes.`);
  return {
    name: 'line-delay',
    figures: { milliseconds: Math.round(ours), deviations: told.causes.length, units: told.exits.length, plainMilliseconds: Math.round(plain) },
    comparedWith: 'the same causes, the recursion told over the whole plan for each of them; same process',
    ratio: Math.round((plain / ours) * 100) / 100,
    holds: ours < MOST_MS && plain >= ours,
  };
}

function tellAllAgain(history: LineHistory, lastUnit: string): number {
  const derivation = derivationAt(history, NOW);
  const plan = planOf(derivation, { from: NOW - WEEK, to: NOW, time: derivation.lineTime })!;
  const { recursion, deviations, putIn } = preparedDelay(plan, history);
  const last = plan.units.findIndex(({ of }) => of.unit === lastUnit);
  const exit = (): number => recursion.times.arrive[plan.units[last]!.steps.at(-1)!]!;
  const before = exit();
  for (const deviation of deviations) {
    putIn(deviation);
    recurAll(recursion);
  }
  return (exit() - before) / 60_000;
}

function bestOf(run: () => unknown): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < ROUNDS; round++) {
    const from = performance.now();
    run();
    best = Math.min(best, performance.now() - from);
  }
  return best;
}
