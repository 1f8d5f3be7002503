import { v7 as uuidv7 } from 'uuid';
import { OutboxDisk } from './outbox-disk.ts';

const KEY = 'stationhand-device';
const LONGEST_WAIT_MS = 5_000;

/**
 * This device's id, made once and kept beside the counter that its facts are numbered with: what a browser keeps otherwise may be gone after a
 * power cut. Until then `deviceId` has nothing to give.
 */
export async function ensureDeviceId(): Promise<void> {
  const made = (): string => localStorage.getItem(KEY) ?? `kiosk-${uuidv7()}`;
  const late = new Promise<string>((resolve) => setTimeout(() => resolve(made()), LONGEST_WAIT_MS));
  // Without a disk nothing can be stated, but boards and reports are still shown.
  const id = await Promise.race([new OutboxDisk().device(made).catch(made), late]);
  localStorage.setItem(KEY, id);
}

/** The id that `ensureDeviceId` made. */
export function deviceId(): string {
  const kept = localStorage.getItem(KEY);
  if (!kept) throw new Error('Asked for the device id before it was made.');
  return kept;
}

/** The server knows this device by `code`: another than it made when somebody has that one. */
export async function takeDeviceId(code: string): Promise<void> {
  if (code === deviceId()) return;
  await new OutboxDisk().takeDevice(code);
  localStorage.setItem(KEY, code);
}
