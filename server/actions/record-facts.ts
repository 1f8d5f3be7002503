import { errorReply, StationhandError } from '../contract/errors.ts';
import type { FactReply, FactsReply } from '../contract/replies.ts';
import type { Fact } from '../core/facts/fact.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { isDatabaseAway } from '../store/unavailable.ts';
import { createCommit } from './commit-facts.ts';
import { factFromWire, type Stated } from './fact-from-wire.ts';
import type { RecordedBatch } from './record-batch.ts';

export interface RecorderParts {
  db: Db;
  now(): Instant;
  log(message: string): void;
  /** Called after each commit that recorded something. */
  committed(plant: string): void;
}

export interface Recorder {
  /** Records facts as they came over the wire, each answered by itself. Resolves once they are safe on disk. */
  record(plant: string, wireFacts: readonly unknown[]): Promise<FactsReply>;
  /** Records facts that are read, and judged, already. */
  recordStated(plant: string, stated: readonly Stated[]): Promise<FactsReply>;
  /** Resolves when nothing waits any more. */
  settled(): Promise<void>;
}

interface Job {
  facts: Fact[];
  done(batch: RecordedBatch): void;
  failed(error: unknown): void;
}

const FACTS_A_BATCH = 128;
const FACTS_WAITING = 50_000;

/**
 * The one door for facts. What reaches it while a transaction runs shares the next one, so that a busy moment costs one commit. Plain
 * scans go the quick way (`appendScans`), all others under the plant's lock. When a
 * shared transaction fails its requests are recorded one by one, then fact by fact: one that fails never takes its neighbours with it.
 */
export function createRecorder({ db, now, log, committed }: RecorderParts): Recorder {
  const queues = new Map<string, Job[]>();
  const running = new Map<string, Promise<void>>();
  const commitFacts = createCommit(db, now);
  let waiting = 0;

  const commit = async (plant: string, facts: readonly Fact[]): Promise<RecordedBatch> => {
    const batch = await commitFacts(plant, facts);
    if (batch.replies.some(({ outcome }) => outcome === 'recorded' || outcome === 'flagged')) committed(plant);
    return batch;
  };
  const oneByOne = async (plant: string, facts: readonly Fact[]): Promise<RecordedBatch> => {
    const all: RecordedBatch = { replies: [], version: 0 };
    for (const fact of facts) {
      try {
        const { replies, version } = await commit(plant, [fact]);
        all.replies.push(...replies);
        all.version = version;
      } catch (error) {
        if (isDatabaseAway(error) || error instanceof StationhandError) throw error;
        log(`fact ${fact.id} of ${plant} cannot be recorded: ${String(error)}`);
        all.replies.push({ id: fact.id, outcome: 'refused', flags: [], why: errorReply('malformedFact', { what: 'The fact cannot be recorded as it is.' }) });
      }
    }
    return all;
  };
  const work = async (plant: string, queue: Job[]): Promise<void> => {
    while (queue.length > 0) {
      const jobs: Job[] = [];
      for (let facts = 0; queue.length > 0 && (jobs.length === 0 || facts + queue[0]!.facts.length <= FACTS_A_BATCH);) {
        const job = queue.shift()!;
        facts += job.facts.length;
        jobs.push(job);
      }
      await runJobs(jobs, (facts) => commit(plant, facts), (facts) => oneByOne(plant, facts));
    }
    running.delete(plant);
    queues.delete(plant);
  };

  const recordStated: Recorder['recordStated'] = async (plant, stated) => {
    const facts = stated.flatMap(({ fact }) => fact ?? []);
    if (waiting + facts.length > FACTS_WAITING) throw new StationhandError('tooBusy');
    waiting += facts.length;
    try {
      const batch = await new Promise<RecordedBatch>((done, failed) => {
        const queue = queues.get(plant) ?? [];
        queues.set(plant, queue);
        queue.push({ facts, done, failed });
        if (!running.has(plant)) running.set(plant, work(plant, queue));
      });
      return { replies: repliesTo(stated, batch.replies), version: batch.version };
    } finally {
      waiting -= facts.length;
    }
  };

  return {
    record: (plant, wireFacts) => recordStated(plant, wireFacts.map(factFromWire)),
    recordStated,
    async settled() {
      await Promise.all(running.values());
    },
  };
}

type Commit = (facts: readonly Fact[]) => Promise<RecordedBatch>;

/** Answers every job: all of them in one commit, or each in its own when that fails. */
async function runJobs(jobs: readonly Job[], commit: Commit, oneByOne: Commit): Promise<void> {
  try {
    const batch = await commit(jobs.flatMap((job) => job.facts));
    let first = 0;
    for (const job of jobs) {
      job.done({ replies: batch.replies.slice(first, first + job.facts.length), version: batch.version });
      first += job.facts.length;
    }
  } catch (error) {
    const certain = isDatabaseAway(error) || error instanceof StationhandError;
    for (const job of jobs) {
      if (certain) job.failed(error);
      else await oneByOne(job.facts).then(job.done, job.failed);
    }
  }
}

function repliesTo(stated: readonly Stated[], recorded: readonly FactReply[]): FactReply[] {
  let next = 0;
  return stated.map(({ said, refused }) => refused ?? { ...recorded[next++]!, id: said });
}
