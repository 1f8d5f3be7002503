import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { io, type Socket } from 'socket.io-client';
import { v7 } from 'uuid';
import type { Changed, ServerToClientEvents } from '../../server/contract/live.ts';
import type { FactsReply } from '../../server/contract/replies.ts';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import { doorAt } from '../support/enter.ts';
import { freePort, startServer } from '../support/server-process.ts';
import type { BenchResult } from './run.ts';

/** A lead of the demo plant. */
const BADGE = 'L01';
const SCREENS = 30;
const FACTS = 150;
const EVERY_MS = 200;
const MOST_MS = 1_000;

/** From a fact leaving its kiosk until the last of 30 screens holds it, on the demo plant at work, everything on. */
export async function liveBench(): Promise<BenchResult> {
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-bench-'));
  const server = await startServer(await freePort(), { DATA_DIR: folder });
  const base = `http://127.0.0.1:${server.port}`;
  const sockets: Socket<ServerToClientEvents>[] = [];
  try {
    await server.says('goes on working');
    const door = doorAt(base);
    const paired = await door.send('POST', '/api/pair-demo', { device: 'bench' }, {});
    if (paired.status !== 200) throw new Error(paired.body);
    const { code, plant } = JSON.parse(paired.body) as { code: string; plant: string };
    const headers = { cookie: paired.cookies.map((cookie) => cookie.split(';')[0]).join('; ') };
    const { units } = JSON.parse((await door.send('GET', `/api/plants/${plant}/snapshot`, undefined, headers)).body) as Snapshot;
    const heard = Array.from({ length: SCREENS }, () => 0);
    for (let n = 0; n < SCREENS; n++) {
      const socket: Socket<ServerToClientEvents> = io(base, { auth: { plant }, extraHeaders: headers, transports: ['websocket'] });
      socket.on('changed', ({ version }: Changed) => (heard[n] = Math.max(heard[n]!, version)));
      sockets.push(socket);
    }
    await untilAll(() => sockets.every(({ connected }) => connected));
    const took: number[] = [];
    for (let i = 0; i < FACTS; i++) {
      const fact = { id: v7(), happened: new Date().toISOString(), told: false, who: BADGE, device: code, counter: i + 1, kind: 'openHold', unit: units[i % units.length]!.state.unit, reason: 'bench', keepsFrom: 'shipping', fromStation: null, note: '' };
      const began = performance.now();
      const { version, replies } = JSON.parse((await door.send('POST', `/api/plants/${plant}/facts`, { facts: [fact] }, headers)).body) as FactsReply;
      if (replies[0]?.outcome === 'refused') throw new Error(JSON.stringify(replies[0]));
      await untilAll(() => heard.every((told) => told >= version));
      took.push(performance.now() - began);
      await pause(EVERY_MS);
    }
    const sorted = took.toSorted((a, b) => a - b);
    const most = sorted.at(-1)!;
    return {
      name: 'live',
      figures: { medianMilliseconds: Math.round(sorted[Math.floor(FACTS / 2)]!), mostMilliseconds: Math.round(most), facts: FACTS, screens: SCREENS },
      comparedWith: 'a second, from the fact leaving its kiosk to the last screen that holds it',
      ratio: Math.round((MOST_MS / most) * 100) / 100,
      holds: most <= MOST_MS,
    };
  } finally {
    for (const socket of sockets) socket.disconnect();
    await server.stop();
    await rm(folder, { recursive: true, force: true });
  }
}

const LONGEST_MS = 30_000;

async function untilAll(holds: () => boolean): Promise<void> {
  const latest = performance.now() + LONGEST_MS;
  while (!holds()) {
    if (performance.now() > latest) throw new Error(`not within ${LONGEST_MS} ms`);
    await pause(1);
  }
}
