import { isDeepStrictEqual } from 'node:util';
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

/** A line that stands twice is one fact, as it is when it is sent twice; another fact under the same id cannot be told from it. */
export function readFacts(path: string): Fact[] {
  const read = new Map<string, { line: number; fact: Fact }>();
  textOf(path).split('\n').forEach((text, i) => {
    if (text.trim() === '') return;
    const { fact, problem } = parseFact(jsonOf(text, `${path}, line ${i + 1}`));
    if (!fact) throw new ReplayError(`${path}, line ${i + 1}: ${problem.error.what} ${problem.error.whatToDo}`);
    const before = read.get(fact.id);
    if (before && !isDeepStrictEqual(before.fact, fact)) throw new ReplayError(`${path}, line ${i + 1}: the fact of line ${before.line} already has the id ${fact.id}. Give every fact an id of its own.`);
    read.set(fact.id, before ?? { line: i + 1, fact });
  });
  return [...read.values()].map(({ fact }) => fact);
}
