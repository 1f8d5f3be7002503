import { v7 as uuidv7 } from 'uuid';
import { inOneTab } from './tab-lock.ts';

const KEY = 'stationhand-device';

/**
 * This device's id, made once and kept. Two tabs opened at once ask under one lock, so that the second reads what the first made; until then
 * `deviceId` has nothing to give.
 */
export async function ensureDeviceId(): Promise<void> {
  if (localStorage.getItem(KEY)) return;
  await inOneTab(KEY, async () => {
    if (!localStorage.getItem(KEY)) localStorage.setItem(KEY, `kiosk-${uuidv7()}`);
  });
}

/** The id that `ensureDeviceId` made. */
export function deviceId(): string {
  const kept = localStorage.getItem(KEY);
  if (!kept) throw new Error('Asked for the device id before it was made.');
  return kept;
}

/** The server gave this device another id, for somebody has the one it made. */
export function takeDeviceId(code: string): void {
  localStorage.setItem(KEY, code);
}
