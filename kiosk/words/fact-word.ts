import type { Fact } from '../../server/core/facts/fact.ts';
import { t, wordKey } from './catalogue.ts';

/** What a fact is called when it is said back to the person who stated it, with its unit. */
export function factWord(fact: Fact): string {
  return [kindWord(fact.kind), 'unit' in fact ? fact.unit : ''].join(' ').trim();
}

export function kindWord(kind: Fact['kind']): string {
  const key = wordKey(`fact.${kind}`);
  return key ? t(key) : kind;
}
