import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

/** Whether a process runs. One that is dead and only not yet reaped by its parent does not. */
export function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
  try {
    return !/^State:\s+Z/m.test(readFileSync(`/proc/${pid}/status`, 'utf8'));
  } catch {
    return true;
  }
}

/** Process and port of the server that holds the data folder, as its lock file says; null when there is no lock file. */
export function lockHolder(data: string): { pid: number; port: number } | null {
  try {
    const lines = readFileSync(join(data, 'postmaster.pid'), 'utf8').split('\n');
    const [pid, port] = [Number(lines[0]), Number(lines[3])];
    return Number.isInteger(pid) && pid > 0 ? { pid, port } : null;
  } catch {
    return null;
  }
}

/** Waits until the process is gone; false when it still runs after `ms`. */
export async function gone(pid: number, ms: number): Promise<boolean> {
  for (let waited = 0; waited < ms; waited += 20) {
    if (!isRunning(pid)) return true;
    await pause(20);
  }
  return !isRunning(pid);
}
