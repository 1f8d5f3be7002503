import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

const FOLDER = new URL('../../../kiosk/words/', import.meta.url);

it('has each key once: a later file would change what an earlier one says', () => {
  const files = new Map<string, string[]>();
  for (const file of readdirSync(FOLDER)) {
    for (const [, key] of readFileSync(new URL(file, FOLDER), 'utf8').matchAll(/^ {2}'([\w.]+)':/gm)) files.set(key!, [...(files.get(key!) ?? []), file]);
  }
  expect(files.size).toBeGreaterThan(500);
  expect([...files].filter(([, own]) => own.length > 1)).toEqual([]);
});

it('ends no Spanish sentence with a time: "a.m." has its own point', () => {
  const ends = readdirSync(FOLDER).flatMap((file) => [...readFileSync(new URL(file, FOLDER), 'utf8').matchAll(/'([\w.]+)': \{.*\bes: '([^']*)'/g)]);
  expect(ends.length).toBeGreaterThan(500);
  expect(ends.filter(([, , es]) => /\{(time|facts|from|to|middle)\}\./.test(es!)).map(([, key]) => key)).toEqual([]);
});
