import type { Server, Socket } from 'socket.io';
import type { Devices } from '../actions/devices.ts';
import { readDeviceState } from '../contract/devices.ts';
import type { Identity } from '../contract/identity.ts';
import type { ClientToServerEvents, ServerToClientEvents } from '../contract/live.ts';

/** What kiosks say of themselves is told to the screens of their plant together, so often at most. */
const TELL_EVERY_MS = 1_000;

/** A socket that was let in: the plant that it hears of, and the device and badge at it. */
export interface SocketIdentity extends Identity {
  plant: string;
}

interface SocketData {
  identity?: SocketIdentity;
}

export type LiveServer = Server<ClientToServerEvents, ServerToClientEvents, Record<string, never>, SocketData>;
export type LiveSocket = Socket<ClientToServerEvents, ServerToClientEvents, Record<string, never>, SocketData>;

export interface DeviceHearing {
  /** Keeps what the kiosk at `socket` says of itself, and tells it of the others. */
  hear(socket: LiveSocket, identity: SocketIdentity): void;
  stop(): void;
}

export function createDeviceHearing(io: LiveServer, devices: Devices): DeviceHearing {
  const timers = new Map<string, NodeJS.Timeout>();
  const tell = (plant: string): void => {
    if (timers.has(plant)) return;
    timers.set(plant, setTimeout(() => {
      timers.delete(plant);
      io.to(plant).emit('devices', devices.of(plant));
    }, TELL_EVERY_MS));
  };
  const isOpen = (plant: string, device: string): boolean => [...(io.sockets.adapter.rooms.get(plant) ?? [])]
    .some((id) => io.sockets.sockets.get(id)?.data.identity?.device === device);

  return {
    hear(socket, { plant, who, device }) {
      socket.emit('devices', devices.of(plant));
      socket.on('device', (said) => {
        const state = readDeviceState(said);
        if (!state) return;
        devices.note(plant, { who, device }, state);
        tell(plant);
      });
      socket.on('disconnect', () => {
        if (isOpen(plant, device)) return;
        devices.gone(plant, device);
        tell(plant);
      });
    },
    stop() {
      for (const timer of timers.values()) clearTimeout(timer);
    },
  };
}
