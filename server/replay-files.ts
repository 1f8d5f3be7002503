import { parseFact } from './contract/fact.ts';
import { plantSchema } from './contract/plant.ts';
import { parseUnitsCsv } from './contract/units-csv.ts';
import type { Fact } from './core/facts/fact.ts';
import type { Plant } from './core/setup/plant.ts';
import { jsonOf, textOf, UnusableFile } from './read-file.ts';

/** What is wrong with the files or arguments of a replay, in words for whoever runs it. */
export class ReplayError extends UnusableFile {}

export function readPlant(path: string): Plant {
  const parsed = plantSchema.safeParse(jsonOf(textOf(path), path));
  if (parsed.success) return parsed.data;
  const wrong = parsed.error.issues.slice(0, 5).map(({ path: place, message }) => `${place.join('.') || 'the document'}: ${message}`);
  throw new ReplayError(`${path} is not a plant's set-up. ${wrong.join('; ')}.`);
}

/** The units of the file as facts that register them long before anything happened. */
export function readUnits(path: string, plant: Plant): Fact[] {
  const { rows, problems } = parseUnitsCsv(textOf(path), plant);
  if (problems.length > 0) {
    const wrong = problems.slice(0, 5).map(({ line, column, message }) => `line ${line}${column ? `, ${column}` : ''}: ${message}`);
    throw new ReplayError(`${path} has ${problems.length} problem(s). ${wrong.join('; ')}.`);
  }
  return rows.map(({ line, ...row }) => ({ kind: 'register', id: `units.csv:${line}`, happened: 0, told: false, who: 'units.csv', device: 'units.csv', counter: line, ...row }));
}

export function readFacts(path: string): Fact[] {
  return textOf(path).split('\n').flatMap((text, i) => {
    if (text.trim() === '') return [];
    const { fact, problem } = parseFact(jsonOf(text, `${path}, line ${i + 1}`));
    if (!fact) throw new ReplayError(`${path}, line ${i + 1}: ${problem.error.what} ${problem.error.whatToDo}`);
    return [fact];
  });
}
