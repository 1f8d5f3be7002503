import { factsBench } from './facts.ts';
import { faultsBench } from './faults.ts';
import { forecastQualityBench } from './forecast-quality.ts';
import { forecastSpeedBench } from './forecast-speed.ts';
import { lineDelayBench } from './line-delay.ts';
import { liveBench } from './live.ts';

/** What one bench prints, as one JSON line. `holds` says whether `ratio` is what was promised. */
export interface BenchResult {
  name: string;
  figures: Record<string, number>;
  comparedWith: string;
  ratio: number;
  holds: boolean;
}

const BENCHES: Record<string, () => Promise<BenchResult>> = { facts: factsBench, faults: faultsBench, live: liveBench, 'line-delay': lineDelayBench, 'forecast-speed': forecastSpeedBench, 'forecast-quality': forecastQualityBench };

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !(name in BENCHES));
if (unknown.length > 0) {
  console.error(`There is no bench ${unknown.join(', ')}. Benches: ${Object.keys(BENCHES).join(', ')}.`);
  process.exit(2);
}
for (const [name, bench] of Object.entries(BENCHES)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  console.log(JSON.stringify(await bench()));
}
