import { readFileSync } from 'node:fs';

/** What is wrong with a file that a command was given, in words for whoever runs it. */
export class UnusableFile extends Error {}

/** The text of a file, without its byte order mark. Throws `UnusableFile`. */
export function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8').replace(/^\ufeff/, '');
  } catch {
    throw new UnusableFile(`${path} cannot be read. Check that the file is there.`);
  }
}

/** What the JSON in `text` says; `where` names it. Throws `UnusableFile`. */
export function jsonOf(text: string, where: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new UnusableFile(`${where} is not JSON: ${(error as Error).message}.`);
  }
}
