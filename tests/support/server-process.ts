import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createServer, type AddressInfo } from 'node:net';

const LONGEST_START_MS = 60_000;

/** The program as a plant runs it, in a process of its own. */
export interface ServerProcess {
  port: number;
  /** As a power cut ends it: no word to anybody. Resolves once it is gone. */
  kill(): Promise<void>;
}

/** Starts the program without a demo on a database that is there, and waits until it takes facts. */
export async function startServer(databaseUrl: string, port: number): Promise<ServerProcess> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts', '--empty'], {
    env: { ...process.env, DATABASE_URL: databaseUrl, PORT: String(port), HOST: '127.0.0.1' }, stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (text) => (said += String(text)));
  const until = performance.now() + LONGEST_START_MS;
  while (!(await healthy(port))) {
    if (child.exitCode !== null || performance.now() > until) throw new Error(`The server did not start: ${said}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return { port, kill: () => killed(child) };
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

async function killed(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGKILL');
  await once(child, 'exit');
}
