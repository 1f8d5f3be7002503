import { errorReply } from '../contract/errors.ts';
import { parseFact } from '../contract/fact.ts';
import type { FactReply } from '../contract/replies.ts';
import type { Fact } from '../core/facts/fact.ts';

/** A zero character and half of a surrogate pair are no text that a database can keep. */
export const NO_TEXT = /\u0000|\p{Surrogate}/u;

/** A fact of a batch that can be recorded, or the reply that refuses it. `said` is the id as it was sent. */
export type Stated = { said: string; fact: Fact; refused: null } | { said: string; fact: null; refused: FactReply };

/** Reads one fact of a batch. Ids are told apart without regard to upper and lower case. Never throws. */
export function factFromWire(value: unknown): Stated {
  const said = typeof value === 'object' && value !== null && 'id' in value && typeof value.id === 'string' ? value.id.slice(0, 100) : '';
  const { fact, problem } = parseFact(value);
  if (!fact) return { said, fact: null, refused: { id: said, outcome: 'refused', flags: [], why: problem } };
  const wrong = fieldWithoutText(fact);
  if (wrong !== null) {
    const why = errorReply('malformedFact', { what: `The fact is malformed: ${wrong}: holds characters that are no text.`, where: wrong });
    return { said, fact: null, refused: { id: said, outcome: 'refused', flags: [], why } };
  }
  return { said, fact: lowerIds(fact), refused: null };
}

function fieldWithoutText(fact: Fact): string | null {
  const holds = (value: unknown): boolean => {
    if (typeof value === 'string') return NO_TEXT.test(value);
    return typeof value === 'object' && value !== null && Object.values(value).some(holds);
  };
  return Object.entries(fact).find(([, value]) => holds(value))?.[0] ?? null;
}

function lowerIds(fact: Fact): Fact {
  const id = fact.id.toLowerCase();
  switch (fact.kind) {
    case 'void': return { ...fact, id, fact: fact.fact.toLowerCase() };
    case 'clearHold': return { ...fact, id, hold: fact.hold.toLowerCase() };
    case 'fitShort': return { ...fact, id, short: fact.short.toLowerCase() };
    case 'clearStop': return { ...fact, id, stop: fact.stop.toLowerCase() };
    default: return { ...fact, id };
  }
}
