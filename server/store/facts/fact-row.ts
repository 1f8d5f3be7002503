import type { Selectable } from 'kysely';
import type { Fact, Recorded } from '../../core/facts/fact.ts';
import type { Tables } from '../database.ts';

/** The columns that a fact is put together from. */
export const FACT_COLUMNS = ['id', 'kind', 'happened', 'told', 'who', 'device', 'counter', 'body', 'recorded', 'seq'] as const;

type Row = Pick<Selectable<Tables['facts']>, (typeof FACT_COLUMNS)[number]>;

/** The fact as it was stated. What the log holds came through the contract, so its form is known. */
export function factOf({ body, ...base }: Row): Recorded {
  return { ...base, ...body } as unknown as Recorded;
}

/** The fact's own fields, without those every fact has. */
export function bodyOf(fact: Fact): Record<string, unknown> {
  const { id: _id, kind: _kind, happened: _happened, told: _told, who: _who, device: _device, counter: _counter, ...body } = fact;
  return body;
}

const UUID = /^[\da-f]{8}(?:-[\da-f]{4}){3}-[\da-f]{12}$/i;

/** Id of the fact that this one voids, clears or fits; null where what is fitted has no fact's id: a shortage that a removed part left. */
export function targetOf(fact: Fact): string | null {
  switch (fact.kind) {
    case 'void': return fact.fact;
    case 'clearHold': return fact.hold;
    case 'fitShort': return UUID.test(fact.short) ? fact.short : null;
    case 'clearStop': return fact.stop;
    case 'closeAction': return fact.action;
    default: return null;
  }
}
