import { io, type Socket } from 'socket.io-client';
import type { Changed } from '../../server/contract/live.ts';

export interface LiveListener {
  /** Connected, for the first time or again: whatever was announced meanwhile was missed. */
  connected(): void;
  disconnected(): void;
  changed(change: Changed): void;
  setupChanged(): void;
  forecastMade(made: number): void;
}

interface ServerEvents {
  changed(change: Changed): void;
  setupChanged(said: { version: number }): void;
  forecastMade(told: { made: number }): void;
}

/** Listens to a plant's announcements until the function returned is called. Tries to connect for ever. */
export function listen(plant: string, listener: LiveListener): () => void {
  const socket: Socket<ServerEvents, Record<string, never>> = io({
    auth: { plant },
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
  socket.on('connect_error', () => {
    listener.disconnected();
    if (!socket.active) setTimeout(() => socket.connect(), 3_000);
  });
  socket.on('changed', (change) => listener.changed(change));
  socket.on('setupChanged', () => listener.setupChanged());
  socket.on('forecastMade', ({ made }) => listener.forecastMade(made));
  return () => {
    socket.removeAllListeners();
    socket.disconnect();
  };
}
