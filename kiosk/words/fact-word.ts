import type { Fact } from '../../server/core/facts/fact.ts';
import { t, wordKey } from './catalogue.ts';

/** What a fact is called when it is said back to the person who stated it, with its unit. */
export function factWord(fact: Fact): string {
  const key = wordKey(`fact.${fact.kind}`);
  return [key ? t(key) : fact.kind, 'unit' in fact ? fact.unit : ''].join(' ').trim();
}
