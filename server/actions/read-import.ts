import { parseClaimsCsv } from '../contract/claims-csv.ts';
import type { ImportProblem } from '../contract/replies.ts';
import { parseUnitsCsv } from '../contract/units-csv.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Recorder } from './record-facts.ts';
import type { Workers } from './workers.ts';

export interface ImportParts {
  memory: PlantMemory;
  recorder: Recorder;
  workers: Workers;
}

/** Characters from which reading a file would hold up every scan for longer than a thread takes to begin. */
const LARGE = 100_000;
const NAMED = 1_000;

/** `parseUnitsCsv`, a large file in another thread. Throws `tooBusy`. */
export async function readUnitsCsv(workers: Workers, text: string, plant: Plant): Promise<ReturnType<typeof parseUnitsCsv>> {
  return text.length < LARGE ? parseUnitsCsv(text, plant) : workers.run('unitsOfCsv', { text, plant });
}

/** `parseClaimsCsv`, a large file in another thread. Throws `tooBusy`. */
export async function readClaimsCsv(workers: Workers, text: string, plant: Plant): Promise<ReturnType<typeof parseClaimsCsv>> {
  return text.length < LARGE ? parseClaimsCsv(text, plant) : workers.run('claimsOfCsv', { text, plant });
}

/** Problems in the order of their lines: the first thousand, and how many more there are, for nobody mends more of a file by hand. */
export function namedProblems(problems: readonly ImportProblem[]): ImportProblem[] {
  const inOrder = [...problems].sort((a, b) => a.line - b.line);
  const next = inOrder[NAMED];
  if (!next) return inOrder;
  return [...inOrder.slice(0, NAMED), { line: next.line, column: '', message: `and ${inOrder.length - NAMED} more problems from here on` }];
}
