import type { Recorded } from '../core/facts/fact.ts';
import { earlier } from '../core/timeline/minutes-from.ts';
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
const FACTS_A_READ = 5_000;

export type Derive = (wanted: MinutesWanted) => ToldStretch[] | Promise<ToldStretch[]>;

/** The minutes of visits that ended at or after `from`, told anew on every line there ever was. */
interface ToldMinutes {
  from: Instant;
  /** The first arrival, or `from` where that is later: before it no visit ended. */
  first: Instant;
  lines: { line: string; told: ToldStretch[] }[];
}

/** Tells the minutes of visits that ended at or after `from` anew from `memory`, on every line it ever had. */
export async function tellMinutesFrom(tx: Tx, memory: PlantMemory, from: Instant): Promise<void> {
  await writeMinutes(tx, memory.code, await minutesSince(memory, from, endedVisitsOf));
}

async function minutesSince(memory: PlantMemory, from: Instant, derive: Derive): Promise<ToldMinutes> {
  const lines = [...new Set(memory.setups.flatMap(({ plant }) => plant.lines.map(({ code }) => code)))];
  const stays = [...memory.units.values()].flatMap(({ history }) => history.stays);
  const last = stays.reduce((latest, stay) => Math.max(latest, stay.left ?? stay.arrived), EARLIEST);
  const first = Math.max(from, stays.reduce((earliest, stay) => Math.min(earliest, stay.arrived), LATEST));
  // What goes to another thread is copied before the first wait, so that all of it is of one version.
  const told = lines.map(async (line) => ({ line, told: await derive({ history: lineHistoryBetween(memory, line, EARLIEST, LATEST), first, last, latest: LATEST }) }));
  return { from, first, lines: await Promise.all(told) };
}

async function writeMinutes(tx: Tx, plant: string, { from, first, lines }: ToldMinutes): Promise<void> {
  for (const { line, told } of lines) {
    if (from < first) await replaceVisits(tx, plant, line, from, first, []);
    for (const { start, end, visits } of told) await replaceVisits(tx, plant, line, start, end, visits);
  }
}

/**
 * Brings the minutes of visits up to where `memory` stands: only the stretch that facts since then touch is told anew. No lock is held while they are
 * derived, which may take long: where another server told some meanwhile, it is begun again from there.
 */
export async function bringMinutesUp(db: Db, memory: PlantMemory, derive: Derive): Promise<void> {
  const { code, version: upTo } = memory;
  for (let told = await minutesToldTo(db, code); told < upTo;) {
    const from = told === 0 ? EARLIEST : await touchedFrom(db, memory, told, upTo);
    const minutes = from === null ? null : await minutesSince(memory, from, derive);
    told = await db.transaction().execute(async (tx) => {
      await lockMinutes(tx, code);
      const now = await minutesToldTo(tx, code);
      if (now !== told) return now;
      if (minutes) await writeMinutes(tx, code, minutes);
      await setMinutesTold(tx, code, upTo);
      return upTo;
    });
  }
}

/** From when minutes may differ for the facts numbered above `after` and up to `upTo`; null when none does. */
async function touchedFrom(db: Db, memory: PlantMemory, after: number, upTo: number): Promise<Instant | null> {
  let from: Instant | null = null;
  for (let facts: Recorded[] | null = null; facts === null || facts.length === FACTS_A_READ;) {
    facts = await factsAfter(db, memory.code, facts?.at(-1)?.seq ?? after, upTo, FACTS_A_READ);
    from = earlier(from, memory.minutesFrom(facts));
  }
  return from;
}
