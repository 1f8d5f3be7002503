import type { DeviceRow, DeviceState } from '../contract/devices.ts';
import type { Identity } from '../contract/identity.ts';
import type { Instant } from '../core/units.ts';

/** What the kiosks said of themselves, in this server's memory: after a restart each says it again. */
export interface Devices {
  /** A kiosk that is connected says how it stands. */
  note(plant: string, by: Identity, state: DeviceState): void;
  /** Its last socket closed: what it said last stands, with that instant. */
  gone(plant: string, device: string): void;
  /** By station and device. */
  of(plant: string): DeviceRow[];
}

/** Most kiosks remembered for a plant; above, the one not heard for longest goes. */
const DEVICES_KEPT = 1_000;
const FORGOTTEN_AFTER_MS = 7 * 24 * 60 * 60_000;

export function createDevices(now: () => Instant): Devices {
  const plants = new Map<string, Map<string, DeviceRow>>();

  return {
    note(plant, { device, who }, state) {
      const rows = plants.get(plant) ?? new Map<string, DeviceRow>();
      plants.set(plant, rows);
      // The one said last stands at the end, so the first is the one not heard for longest.
      rows.delete(device);
      rows.set(device, { ...state, device, who, connected: true, heard: now() });
      for (const [first, row] of rows) {
        if (rows.size <= DEVICES_KEPT && row.heard > now() - FORGOTTEN_AFTER_MS) break;
        if (!row.connected || rows.size > DEVICES_KEPT) rows.delete(first);
      }
    },
    gone(plant, device) {
      const row = plants.get(plant)?.get(device);
      if (row) Object.assign(row, { connected: false, heard: now() });
    },
    of(plant) {
      const rows = [...(plants.get(plant)?.values() ?? [])].map((row) => ({ ...row }));
      return rows.toSorted((a, b) => a.station.localeCompare(b.station) || (a.device < b.device ? -1 : 1));
    },
  };
}
