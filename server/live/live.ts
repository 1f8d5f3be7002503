import type { Server as HttpServer } from 'node:http';
import { Server } from 'socket.io';
import type { Actions } from '../actions/actions.ts';
import { errorReply } from '../contract/errors.ts';
import { DEVICE_COOKIE, DEVICE_HEADER, readSocketBadge, readSocketPlant, SESSION_COOKIE } from '../contract/identity.ts';
import { rightOfRoute } from '../core/access/rights.ts';
import { badgeOf, type Caller, holdersOf } from '../actions/access/caller.ts';
import { createAnnouncer } from './announcer.ts';
import { createDeviceHearing, type LiveServer } from './hear-devices.ts';

export interface Live {
  close(): Promise<void>;
}

const SOCKETS = 2_000;
const BYTES_A_MESSAGE = 10_000;
const LOOK_AGAIN_MS = 30_000;

/** The announcements to the screens, over Socket.IO on `server`: one room a plant; a socket says who it is or is turned away. */
export function startLive(server: HttpServer, actions: Actions, log: (message: string) => void): Live {
  const io: LiveServer = new Server(server, { serveClient: false, maxHttpBufferSize: BYTES_A_MESSAGE, cors: { origin: false },
    // A page of another site gets no socket, whatever cookies its browser sends along.
    allowRequest: ({ headers }, decide) => decide(null, headers.origin === undefined || (URL.canParse(headers.origin) && new URL(headers.origin).host === headers.host)),
  });
  const announcer = createAnnouncer({
    snapshot: (plant) => actions.snapshot(plant),
    isHeard: (plant) => (io.sockets.adapter.rooms.get(plant)?.size ?? 0) > 0,
    changed: (plant, change) => io.to(plant).emit('changed', change),
    setupChanged: (plant, change) => io.to(plant).emit('setupChanged', change),
    log,
  });
  const devices = createDeviceHearing(io, actions.devices);
  io.use((socket, next) => {
    const plant = readSocketPlant(socket.handshake.auth);
    if (io.engine.clientsCount > SOCKETS) return next(refusal('tooBusy'));
    void callerOf(actions, socket.handshake).then((caller) => {
      const why = hears(actions, caller, plant);
      if (why !== null || plant === null) return next(refusal(why ?? 'noIdentity'));
      const who = (caller.session && badgeOf(caller.session.person)) ?? readSocketBadge(socket.handshake.auth) ?? 'nobody';
      socket.data.identity = { plant, who, device: caller.device!.code };
      return next();
    }, () => next(refusal('databaseAway')));
  });
  io.on('connection', (socket) => {
    const { identity } = socket.data;
    if (!identity) return void socket.disconnect(true);
    void socket.join(identity.plant);
    announcer.commit(identity.plant);
    devices.hear(socket, identity);
  });
  // Who is let out, or whose time is up, hears nothing more.
  const lookAgain = (): void => {
    for (const socket of io.sockets.sockets.values()) {
      void callerOf(actions, socket.handshake).then((caller) => hears(actions, caller, socket.data.identity?.plant ?? null) !== null && socket.disconnect(true), () => {});
    }
  };
  actions.access.onChange(lookAgain);
  const looking = setInterval(lookAgain, LOOK_AGAIN_MS).unref();
  actions.onCommit((plant) => {
    if (plant !== null) return announcer.commit(plant);
    for (const room of io.sockets.adapter.rooms.keys()) if (!io.sockets.sockets.has(room)) announcer.commit(room);
  });
  actions.onForecast((plant, told) => io.to(plant).emit('forecastMade', told));
  return {
    async close() {
      clearInterval(looking);
      announcer.stop();
      devices.stop();
      await io.close();
    },
  };
}

interface Handshake {
  headers: Record<string, string | string[] | undefined>;
  address: string;
}

function callerOf(actions: Actions, { headers, address }: Handshake): Promise<Caller> {
  const cookies = new Map(String(headers['cookie'] ?? '').split(';').map((pair) => [pair.slice(0, pair.indexOf('=')).trim(), pair.slice(pair.indexOf('=') + 1).trim()]));
  const header = headers[DEVICE_HEADER];
  return actions.access.caller({ session: cookies.get(SESSION_COOKIE), device: typeof header === 'string' ? header : cookies.get(DEVICE_COOKIE) }, address);
}

/** Null when the caller may hear of `plant`, else why not. */
function hears(actions: Actions, caller: Caller, plant: string | null): 'noIdentity' | 'unknownPlant' | null {
  if (plant === null || (caller.session === null && (caller.device === null || caller.device.plant === null || caller.device.until !== null))) return 'noIdentity';
  const holders = holdersOf(caller, plant, actions.now());
  const right = rightOfRoute('SOCKET changed');
  return Array.isArray(right) && right.some((holder) => holders.includes(holder)) ? null : 'unknownPlant';
}

function refusal(code: Parameters<typeof errorReply>[0]): Error {
  return Object.assign(new Error(errorReply(code).error.what), { data: errorReply(code) });
}
