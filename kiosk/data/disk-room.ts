const LITTLE_BYTES = 20 * 1_024 * 1_024;

/** How the browser keeps what this device states. */
export interface DiskRoom {
  /** Whether the browser has promised not to clear it away for want of room; null where it does not say. */
  kept: boolean | null;
  /** Bytes left for it; null where the browser does not say. */
  left: number | null;
}

/** Asks the browser to keep this device's facts whatever else wants the room, and how much is left. */
export async function askForRoom(): Promise<DiskRoom> {
  const { storage } = navigator;
  if (!storage?.persist) return { kept: null, left: null };
  try {
    const kept = (await storage.persisted()) || (await storage.persist());
    const { quota, usage } = await storage.estimate();
    return { kept, left: quota === undefined || usage === undefined ? null : quota - usage };
  } catch {
    return { kept: null, left: null };
  }
}

export function isNearlyFull({ left }: DiskRoom): boolean {
  return left !== null && left < LITTLE_BYTES;
}
