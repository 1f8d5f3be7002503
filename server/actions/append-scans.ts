import type { FactReply } from '../contract/replies.ts';
import type { Fact, Recorded, UnitFact } from '../core/facts/fact.ts';
import { compareFacts } from '../core/facts/order.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { type Whereabouts, whereaboutsOf } from '../store/derived/whereabouts.ts';
import { appendBatch } from '../store/facts/append-batch.ts';
import { crossingSummary } from '../store/facts/crossing-summary.ts';
import { loadSetups } from '../store/setup/load-setups.ts';
import { readPlant } from '../store/setup/read-plant.ts';
import { isTaken } from '../store/unavailable.ts';
import { flagRecording, follows, goOn, isFeeding } from './go-on.ts';
import type { RecordedBatch } from './record-batch.ts';
import type { RefoldedUnits } from './refold-units.ts';

/** What the door knows of a plant whose log goes on with `nextSeq`: worth nothing once the log goes on with another number. */
export interface Standing {
  nextSeq: number;
  setupVersion: number;
  setups: SetupVersion[];
  /** Whereabouts as far as they were read; null for a unit that has none. */
  units: Map<string, Whereabouts | null>;
  voidedAhead: Set<string>;
  identified: Set<string>;
  lastRoll: Instant;
}

const UNITS_KEPT = 20_000;

/** What `appendScans` needs to know of the plant. Null when there is no such plant. Read without a lock: an append holds it against the log's number. */
export async function readStanding(db: Db, plant: string): Promise<Standing | null> {
  const now = await readPlant(db, plant);
  if (!now) return null;
  const [setups, crossing] = await Promise.all([loadSetups(db, plant), crossingSummary(db, plant)]);
  return {
    nextSeq: now.version + 1, setupVersion: now.setupVersion, setups, units: new Map(), voidedAhead: new Set(crossing.voidedAhead),
    identified: new Set(crossing.identified), lastRoll: crossing.lastRoll ?? Number.NEGATIVE_INFINITY,
  };
}

/**
 * The quick way through the door, one statement without a lock held: for new facts of units that each follow the unit's last one and that nothing
 * crosses. Null when a fact is not of that sort, or the log went on elsewhere, or has one of the ids: then nothing is written, `standing` may be
 * out of date, and `recordBatch` is the way. On success `standing` has moved on.
 */
export async function appendScans(db: Db, standing: Standing, plant: string, facts: readonly Fact[], now: Instant): Promise<RecordedBatch | null> {
  const scans = plainScans(standing, facts);
  if (!scans) return null;
  const unread = [...scans.keys()].filter((unit) => !standing.units.has(unit));
  if (standing.units.size + unread.length > UNITS_KEPT) return null;
  if (unread.length > 0) {
    const found = await whereaboutsOf(db, plant, unread);
    for (const unit of unread) standing.units.set(unit, found.get(unit) ?? null);
  }
  const recorded = new Map(facts.map((fact, i): [string, Recorded] => [fact.id, { ...fact, recorded: now, seq: standing.nextSeq + i }]));
  const folded: RefoldedUnits = { whereabouts: [], stays: [], flags: [] };
  for (const [unit, own] of scans) {
    const before = standing.units.get(unit) ?? null;
    if (!follows(own[0]!, before)) return null;
    goOn(folded, unit, before, own, standing.setups);
    flagRecording(folded, unit, own.map(({ id }) => recorded.get(id)!));
  }
  try {
    if (!(await appendBatch(db, plant, standing, { facts: [...recorded.values()], ...folded }))) return null;
  } catch (error) {
    if (isTaken(error)) return null;
    throw error;
  }
  standing.nextSeq += facts.length;
  for (const whereabouts of folded.whereabouts) standing.units.set(whereabouts.state.unit, whereabouts);
  return { replies: repliesTo(facts, folded), version: standing.nextSeq - 1 };
}

/** The facts by unit, each unit's in order; null when one of them is not for the quick way. */
function plainScans({ setups, voidedAhead, identified, lastRoll }: Standing, facts: readonly Fact[]): Map<string, UnitFact[]> | null {
  const scans = new Map<string, UnitFact[]>();
  const ids = new Set<string>();
  for (const fact of facts) {
    if (!('unit' in fact) || fact.kind === 'identify' || ids.has(fact.id) || fact.happened <= lastRoll) return null;
    if (voidedAhead.has(fact.id) || identified.has(fact.unit) || isFeeding(fact, setups)) return null;
    ids.add(fact.id);
    const own = scans.get(fact.unit);
    if (own) own.push(fact);
    else scans.set(fact.unit, [fact]);
  }
  for (const own of scans.values()) own.sort(compareFacts);
  return facts.length > 0 ? scans : null;
}

function repliesTo(facts: readonly Fact[], { flags }: RefoldedUnits): FactReply[] {
  const codes = new Map<string, string[]>();
  for (const { fact, code } of flags) codes.set(fact, [...(codes.get(fact) ?? []), code]);
  return facts.map(({ id }) => ({ id, outcome: codes.has(id) ? 'flagged' : 'recorded', flags: codes.get(id) ?? [] }));
}
