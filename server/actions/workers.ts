import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import { StationhandError } from '../contract/errors.ts';
import type * as jobs from './jobs.ts';

type Jobs = typeof jobs;
type JobName = { [K in keyof Jobs]: Jobs[K] extends (input: never) => unknown ? K : never }[keyof Jobs];

export interface Workers {
  /** Runs the job in another thread; throws `tooBusy` when too many wait or after `close`, else what the job throws. */
  run<N extends JobName>(name: N, input: Parameters<Jobs[N]>[0]): Promise<ReturnType<Jobs[N]>>;
  close(): Promise<void>;
}

const WAITING = 200;
const IDLE_MS = 30_000;
const THREADS = 2;

/** A thread does not inherit what lets the program read TypeScript: it is told to, before it reads its jobs. */
const READS_TYPESCRIPT = `data:text/javascript,import { register } from ${JSON.stringify(import.meta.resolve('tsx/esm/api'))}; register();`;

/** Threads for long arithmetic, started when there is work and ended when there is none. */
export function createWorkers(): Workers {
  let pool: Piscina | null = null;
  let closed = false;
  const opened = (): Piscina => (pool ??= new Piscina({
    filename: fileURLToPath(new URL('./jobs.ts', import.meta.url)), execArgv: ['--import', READS_TYPESCRIPT], minThreads: 0, maxThreads: THREADS, idleTimeout: IDLE_MS, maxQueue: WAITING,
  }));
  return {
    async run(name, input) {
      // A pool that was destroyed would start threads again.
      if (closed) throw new StationhandError('tooBusy');
      try {
        return (await opened().run(input, { name })) as ReturnType<Jobs[typeof name]>;
      } catch (error) {
        if (error instanceof Error && error.message === 'Task queue is at limit') throw new StationhandError('tooBusy');
        throw error;
      }
    },
    async close() {
      closed = true;
      await pool?.destroy();
    },
  };
}
