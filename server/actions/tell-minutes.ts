import { derivationAt, endedVisits } from '../core/timeline/derive-visits.ts';
import type { Instant } from '../core/units.ts';
import type { Db, Tx } from '../store/database.ts';
import { lockMinutes, minutesToldTo, setMinutesTold } from '../store/derived/minutes-told.ts';
import { replaceVisits } from '../store/derived/visits.ts';
import { factsAfter } from '../store/facts/facts-after.ts';
import { lineHistoryBetween } from './line-history.ts';
import type { PlantMemory } from './plant-memory.ts';

/** Every fact happens in between (contract/shapes.ts). */
const EARLIEST: Instant = Date.parse('2000-01-01T00:00:00Z');
const LATEST: Instant = Date.parse('2100-01-01T00:00:00Z');
/** So much of a line is told at once: what waits for the program's one thread waits no longer than that takes. */
const STRETCH_MS = 2 * 86_400_000;
const FACTS_LOOKED_AT = 20_000;

/** Tells the minutes of visits that ended at or after `from` anew from `memory`, on every line it ever had. */
export async function tellMinutesFrom(tx: Tx, memory: PlantMemory, from: Instant): Promise<void> {
  const lines = new Set(memory.setups.flatMap(({ plant }) => plant.lines.map(({ code }) => code)));
  const stays = [...memory.units.values()].flatMap(({ history }) => history.stays);
  const last = stays.reduce((latest, stay) => Math.max(latest, stay.left ?? stay.arrived), EARLIEST);
  const first = Math.max(from, stays.reduce((earliest, stay) => Math.min(earliest, stay.arrived), LATEST));
  for (const line of lines) {
    // Who was where is told over all there ever was: a stay that a later arrival ended must end alike in every stretch.
    const derivation = derivationAt(lineHistoryBetween(memory, line, EARLIEST, LATEST), Number.POSITIVE_INFINITY);
    if (from < first) await replaceVisits(tx, memory.code, line, from, first, []);
    for (let start = first; start < LATEST;) {
      const end = start > last ? LATEST : start + STRETCH_MS;
      const ended = endedVisits(derivation, start, end);
      await replaceVisits(tx, memory.code, line, start, end, ended);
      start = end;
    }
  }
}

/**
 * Brings the minutes of visits up to where `memory` stands: only the stretch that facts since then touch is told anew. A server that finds another
 * one at it waits, and then has nothing left to do.
 */
export async function bringMinutesUp(db: Db, memory: PlantMemory): Promise<void> {
  const upTo = memory.version;
  if ((await minutesToldTo(db, memory.code)) >= upTo) return;
  await db.transaction().execute(async (tx) => {
    await lockMinutes(tx, memory.code);
    const told = await minutesToldTo(tx, memory.code);
    if (told >= upTo) return;
    const facts = await factsAfter(tx, memory.code, told, upTo, FACTS_LOOKED_AT);
    const from = told === 0 || facts.length === FACTS_LOOKED_AT ? EARLIEST : memory.minutesFrom(facts);
    if (from !== null) await tellMinutesFrom(tx, memory, from);
    await setMinutesTold(tx, memory.code, upTo);
  });
}
