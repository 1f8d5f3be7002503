import { language } from '../words/catalogue.ts';
import { ask } from './api.ts';

/**
 * Fetches a page to print, which needs this device's identity, and opens it with the printer's window. Opened before it is fetched: a browser
 * lets a page open another only while it answers a touch. Throws `ApiError`.
 */
export async function printPaper(path: string): Promise<void> {
  const opened = window.open('', '_blank');
  try {
    const page = await (await ask(`${path}?language=${language()}`)).text();
    if (!opened) return;
    opened.document.write(page);
    opened.document.close();
    opened.focus();
    opened.print();
  } catch (error) {
    opened?.close();
    throw error;
  }
}

export function unitPaperPath(plant: string, unit: string, paper: 'traveler' | 'tags' | 'labels'): string {
  return `/api/plants/${encodeURIComponent(plant)}/units/${encodeURIComponent(unit)}/${paper}`;
}

export function placardsPath(plant: string): string {
  return `/api/plants/${encodeURIComponent(plant)}/placards`;
}
