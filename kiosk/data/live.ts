import { io, type Socket } from 'socket.io-client';
import type { DeviceRow, DeviceState } from '../../server/contract/devices.ts';
import type { Changed, ClientToServerEvents, ServerToClientEvents } from '../../server/contract/live.ts';
import { SIGNED_OUT } from './api.ts';
import { who } from './preferences.ts';

export interface LiveListener {
  /** Connected, for the first time or again: whatever was announced meanwhile was missed. */
  connected(): void;
  disconnected(): void;
  changed(change: Changed): void;
  setupChanged(): void;
  forecastMade(made: number): void;
  devices(rows: DeviceRow[]): void;
}

export interface Listening {
  /** Tells the server what this device holds back; while there is no way to it, nothing. */
  say(device: DeviceState): void;
  stop(): void;
}

const SAID_AFTER_MS = 1_000;

/** Listens to a plant's announcements until `stop` is called. Tries to connect for ever. */
export function listen(plant: string, listener: LiveListener): Listening {
  const socket: Socket<ServerToClientEvents, ClientToServerEvents> = io({
    auth: { plant, who: who() || 'nobody' },
    transports: ['websocket', 'polling'],
    reconnectionDelayMax: 5_000,
    timeout: 5_000,
  });
  socket.on('connect', () => listener.connected());
  socket.on('disconnect', (reason) => {
    listener.disconnected();
    // Socket.IO does not try again by itself when the server closed the socket in good order.
    if (reason === 'io server disconnect') setTimeout(() => socket.connect(), 1_000);
  });
  socket.on('connect_error', (error: Error & { data?: { error?: { code?: string } } }) => {
    listener.disconnected();
    if (error.data?.error?.code === 'noIdentity') window.dispatchEvent(new Event(SIGNED_OUT));
    if (!socket.active) setTimeout(() => socket.connect(), 3_000);
  });
  socket.on('changed', (change) => listener.changed(change));
  socket.on('setupChanged', () => listener.setupChanged());
  socket.on('forecastMade', ({ made }) => listener.forecastMade(made));
  socket.on('devices', (rows) => listener.devices(rows));
  let said = '';
  let saying: ReturnType<typeof setTimeout> | undefined;
  return {
    say(device) {
      clearTimeout(saying);
      // What is sent in the next moment need not be told of.
      saying = setTimeout(() => {
        const now = JSON.stringify([socket.id, device]);
        if (!socket.connected || now === said) return;
        said = now;
        socket.emit('device', device);
      }, SAID_AFTER_MS);
    },
    stop() {
      clearTimeout(saying);
      socket.removeAllListeners();
      socket.disconnect();
    },
  };
}
