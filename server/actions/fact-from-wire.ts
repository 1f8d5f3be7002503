import { parseFact } from '../contract/fact.ts';
import type { FactReply } from '../contract/replies.ts';
import type { Fact } from '../core/facts/fact.ts';

/** A fact of a batch that can be recorded, or the reply that refuses it. `said` is the id as it was sent. */
export type Stated = { said: string; fact: Fact; refused: null } | { said: string; fact: null; refused: FactReply };

/** Reads one fact of a batch. Never throws. */
export function factFromWire(value: unknown): Stated {
  const said = typeof value === 'object' && value !== null && 'id' in value && typeof value.id === 'string' ? value.id.slice(0, 100) : '';
  const { fact, problem } = parseFact(value);
  if (!fact) return { said, fact: null, refused: { id: said, outcome: 'refused', flags: [], why: problem } };
  return { said, fact, refused: null };
}
