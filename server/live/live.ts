import type { Server as HttpServer } from 'node:http';
import { Server } from 'socket.io';
import type { Actions } from '../actions/actions.ts';
import { errorReply } from '../contract/errors.ts';
import { readSocketIdentity } from '../contract/identity.ts';
import type { ClientToServerEvents, ServerToClientEvents } from '../contract/live.ts';
import { createAnnouncer } from './announcer.ts';
import { createDeviceHearing } from './hear-devices.ts';

export interface Live {
  close(): Promise<void>;
}

const SOCKETS = 2_000;
const BYTES_A_MESSAGE = 10_000;

/** The announcements to the screens, over Socket.IO on `server`: one room a plant; a socket says who it is or is turned away. */
export function startLive(server: HttpServer, actions: Actions, log: (message: string) => void): Live {
  const io = new Server<ClientToServerEvents, ServerToClientEvents>(server, { serveClient: false, maxHttpBufferSize: BYTES_A_MESSAGE, cors: { origin: false } });
  const announcer = createAnnouncer({
    snapshot: (plant) => actions.snapshot(plant),
    isHeard: (plant) => (io.sockets.adapter.rooms.get(plant)?.size ?? 0) > 0,
    changed: (plant, change) => io.to(plant).emit('changed', change),
    setupChanged: (plant, change) => io.to(plant).emit('setupChanged', change),
    log,
  });
  const devices = createDeviceHearing(io, actions.devices);
  io.use((socket, next) => {
    const identity = readSocketIdentity(socket.handshake.auth);
    const known = identity ? actions.plants().then((plants) => plants.some(({ code }) => code === identity.plant)) : Promise.resolve(true);
    void known.then((is) => {
      if (!identity) return next(refusal('noIdentity'));
      if (!is) return next(refusal('unknownPlant'));
      if (io.engine.clientsCount > SOCKETS) return next(refusal('tooBusy'));
      return next();
    }, () => next(refusal('databaseAway')));
  });
  io.on('connection', (socket) => {
    const identity = readSocketIdentity(socket.handshake.auth);
    if (!identity) return void socket.disconnect(true);
    void socket.join(identity.plant);
    announcer.commit(identity.plant);
    devices.hear(socket, identity);
  });
  actions.onCommit((plant) => {
    if (plant !== null) return announcer.commit(plant);
    for (const room of io.sockets.adapter.rooms.keys()) if (!io.sockets.sockets.has(room)) announcer.commit(room);
  });
  actions.onForecast((plant, told) => io.to(plant).emit('forecastMade', told));
  return {
    async close() {
      announcer.stop();
      devices.stop();
      await io.close();
    },
  };
}

function refusal(code: Parameters<typeof errorReply>[0]): Error {
  return Object.assign(new Error(errorReply(code).error.what), { data: errorReply(code) });
}
