import { type RawBuilder, sql } from 'kysely';
import type { Recorded } from '../../core/facts/fact.ts';
import { plantOf, type Tx } from '../database.ts';
import { rowsFrom } from '../rows-from.ts';
import { bodyOf, targetOf } from './fact-row.ts';

/** Appends facts that the log does not have, under the plant's lock. */
export async function insertFacts(tx: Tx, plant: string, facts: readonly Recorded[]): Promise<void> {
  await insertingFacts(plantOf(plant), facts).execute(tx);
}

/** The insertion of `facts` for the plant whose code is in `plant`, a source of one row. */
export function insertingFacts(plant: RawBuilder<unknown>, facts: readonly Recorded[]): RawBuilder<unknown> {
  const rows = facts.map(({ recorded, seq, ...fact }) => ({
    id: fact.id, seq, kind: fact.kind, unit: 'unit' in fact ? fact.unit : null, station: 'station' in fact ? fact.station : null,
    line: 'line' in fact ? fact.line : null, happened: new Date(fact.happened).toISOString(), recorded: new Date(recorded).toISOString(),
    told: fact.told, who: fact.who, device: fact.device, counter: fact.counter, target: targetOf(fact), body: bodyOf(fact),
  }));
  return sql`
    insert into facts (plant, id, month, seq, kind, unit, station, line, happened, recorded, told, who, device, counter, target, body)
    select code, id, fact_month(id), seq, kind, unit, station, line, happened, recorded, told, who, device, counter, target, body
    from ${plant}, ${rowsFrom(rows, {
      id: 'uuid', seq: 'bigint', kind: 'text', unit: 'text', station: 'text', line: 'text', happened: 'timestamptz', recorded: 'timestamptz',
      told: 'boolean', who: 'text', device: 'text', counter: 'bigint', target: 'uuid', body: 'jsonb',
    })}`;
}
