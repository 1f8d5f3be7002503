import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createServer, type AddressInfo } from 'node:net';

const LONGEST_START_MS = 120_000;

/** The program as a plant runs it, in a process of its own. */
export interface ServerProcess {
  port: number;
  /** Resolves once it has written `words`. */
  says(words: string): Promise<void>;
  /** What it wrote that `pattern` captures, once it has. */
  told(pattern: RegExp): Promise<string>;
  /** As a power cut ends it: no word to anybody. Resolves once it is gone. */
  kill(): Promise<void>;
  /** In good order. Resolves once it is gone. */
  stop(): Promise<void>;
}

/** Starts the program with `settings` (README, Settings) and `args`, and waits until it takes facts. */
export async function startServer(port: number, settings: Record<string, string>, args: readonly string[] = []): Promise<ServerProcess> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts', ...args], {
    env: { ...process.env, ...settings, PORT: String(port), HOST: '127.0.0.1' }, stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => (said += String(text)));
  const until = async (done: () => boolean | Promise<boolean>): Promise<void> => {
    const latest = performance.now() + LONGEST_START_MS;
    while (!(await done())) {
      if (child.exitCode !== null || performance.now() > latest) throw new Error(`The server did not come so far: ${said}`);
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
  };
  await until(() => (settings['HTTPS'] === undefined ? healthy(port) : said.includes('Stationhand is at https://')));
  return { port, says: (words) => until(() => said.includes(words)), told: async (pattern) => {
    await until(() => pattern.test(said));
    return pattern.exec(said)![1]!;
  }, kill: () => ended(child, 'SIGKILL'), stop: () => ended(child, 'SIGTERM') };
}

/** A port that nobody has now. */
export async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

async function healthy(port: number): Promise<boolean> {
  return fetch(`http://127.0.0.1:${port}/health`).then((reply) => reply.ok, () => false);
}

async function ended(child: ChildProcess, signal: 'SIGKILL' | 'SIGTERM'): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill(signal);
  await once(child, 'exit');
}
