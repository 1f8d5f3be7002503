import { writeDwellQuery, writeVisitsQuery, type DwellQuery, type VisitsQuery } from '../../server/contract/dwell-query.ts';
import { type MarksQuery, writeMarksQuery } from '../../server/contract/marks-query.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { ask } from './api.ts';
import { saveFile } from './save-file.ts';

/** Where the server tells reports of a line. */
export function linePath(plant: string, line: string): string {
  return `/api/plants/${encodeURIComponent(plant)}/lines/${encodeURIComponent(line)}`;
}

/** The line a report is of: the one the address names, else the main line; null where the plant has none. */
export function lineOf(view: Snapshot, named: string | undefined): string | null {
  const { lines } = view.plant;
  return (lines.find(({ code }) => code === named) ?? lines.find(({ purpose }) => purpose === 'main') ?? lines[0])?.code ?? null;
}

const page = (plant: string, screen: string, line: string, query: string): string =>
  `/${encodeURIComponent(plant)}/${screen}?${new URLSearchParams({ line }).toString()}${query === '' ? '' : `&${query}`}`;

export const dwellPage = (plant: string, line: string, query: DwellQuery): string => page(plant, 'dwell', line, writeDwellQuery(query));

/** The list of the visits behind a figure. */
export const visitsPage = (plant: string, line: string, query: VisitsQuery): string => page(plant, 'dwell', line, `show=visits&${writeVisitsQuery(query)}`.replace(/&$/, ''));

/** The list of the marked scans behind a figure. */
export const marksPage = (plant: string, line: string, query: MarksQuery): string => page(plant, 'scans', line, `show=marks&${writeMarksQuery(query)}`.replace(/&$/, ''));

/** Fetches a file, which takes who asks for it, and hands it to the browser as `name`. */
export async function saveReport(path: string, name: string): Promise<void> {
  const reply = await ask(path, { timeout: 120_000 });
  saveFile(await reply.blob(), name);
}
