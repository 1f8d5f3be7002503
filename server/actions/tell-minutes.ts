import type { Instant } from '../core/units.ts';
import type { Db, Tx } from '../store/database.ts';
import { lockMinutes, minutesToldTo, setMinutesTold } from '../store/derived/minutes-told.ts';
import { replaceVisits } from '../store/derived/visits.ts';
import { factsAfter } from '../store/facts/facts-after.ts';
import { lineHistoryBetween } from './line-history.ts';
import { endedVisitsOf, type MinutesWanted, type ToldStretch } from './minutes-jobs.ts';
import type { PlantMemory } from './plant-memory.ts';

/** Every fact happens in between (contract/shapes.ts). */
const EARLIEST: Instant = Date.parse('2000-01-01T00:00:00Z');
const LATEST: Instant = Date.parse('2100-01-01T00:00:00Z');
const FACTS_LOOKED_AT = 20_000;

export type Derive = (wanted: MinutesWanted) => ToldStretch[] | Promise<ToldStretch[]>;

/** Tells the minutes of visits that ended at or after `from` anew from `memory`, on every line it ever had; `derive` is `endedVisitsOf`, here or in another thread. */
export async function tellMinutesFrom(tx: Tx, memory: PlantMemory, from: Instant, derive: Derive = endedVisitsOf): Promise<void> {
  const lines = new Set(memory.setups.flatMap(({ plant }) => plant.lines.map(({ code }) => code)));
  const stays = [...memory.units.values()].flatMap(({ history }) => history.stays);
  const last = stays.reduce((latest, stay) => Math.max(latest, stay.left ?? stay.arrived), EARLIEST);
  const first = Math.max(from, stays.reduce((earliest, stay) => Math.min(earliest, stay.arrived), LATEST));
  for (const line of lines) {
    const told = await derive({ history: lineHistoryBetween(memory, line, EARLIEST, LATEST), first, last, latest: LATEST });
    if (from < first) await replaceVisits(tx, memory.code, line, from, first, []);
    for (const { start, end, visits } of told) await replaceVisits(tx, memory.code, line, start, end, visits);
  }
}

/**
 * Brings the minutes of visits up to where `memory` stands: only the stretch that facts since then touch is told anew. A server that finds another
 * one at it waits, and then has nothing left to do.
 */
export async function bringMinutesUp(db: Db, memory: PlantMemory, derive: Derive): Promise<void> {
  const upTo = memory.version;
  if ((await minutesToldTo(db, memory.code)) >= upTo) return;
  await db.transaction().execute(async (tx) => {
    await lockMinutes(tx, memory.code);
    const told = await minutesToldTo(tx, memory.code);
    if (told >= upTo) return;
    const facts = await factsAfter(tx, memory.code, told, upTo, FACTS_LOOKED_AT);
    const from = told === 0 || facts.length === FACTS_LOOKED_AT ? EARLIEST : memory.minutesFrom(facts);
    if (from !== null) await tellMinutesFrom(tx, memory, from, derive);
    await setMinutesTold(tx, memory.code, upTo);
  });
}
