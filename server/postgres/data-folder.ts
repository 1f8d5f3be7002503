import { execFile } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { Binaries } from './binaries.ts';
import { isRunning } from './processes.ts';

const run = promisify(execFile);

export const ROLE = 'stationhand';

export interface DataFolder {
  data: string;
  log: string;
  password: string;
}

/** Codes of the system's errors that say a folder is not there for this user. */
const NOT_OURS = ['EACCES', 'EPERM', 'EROFS', 'ENOTDIR', 'EEXIST', 'ENOENT', 'ENOSPC'];

/**
 * The private folder of the program's own PostgreSQL, made on the first start. A first start that was broken off is done again. Throws with a sentence for
 * people when `dataDir` is no folder that this user may write.
 */
export async function dataFolder(dataDir: string, binaries: Binaries): Promise<DataFolder> {
  return makeFolder(dataDir, binaries).catch((error: unknown) => {
    const { code = '', syscall = '', message } = error as NodeJS.ErrnoException;
    if (!NOT_OURS.includes(code) || syscall.startsWith('spawn')) throw error;
    throw new Error(`DATA_DIR=${dataDir} cannot be used: ${message}. Give a folder in which the user who starts the program may write.`, { cause: error });
  });
}

async function makeFolder(dataDir: string, { initdb }: Binaries): Promise<DataFolder> {
  const folder = join(dataDir, 'postgres');
  const [data, secret, log] = [join(folder, 'data'), join(folder, 'password'), join(folder, 'postgres.log')];
  await mkdir(folder, { recursive: true, mode: 0o700 });
  if (!existsSync(join(data, 'PG_VERSION'))) {
    const unfinished = join(folder, 'data.unfinished');
    await rm(unfinished, { recursive: true, force: true });
    await writeFile(secret, randomBytes(24).toString('hex'), { mode: 0o600 });
    const options = ['-D', unfinished, '-U', ROLE, `--pwfile=${secret}`, '--auth=scram-sha-256', '--locale=C.UTF-8', '--encoding=UTF8'];
    await run(initdb.command, [...initdb.args, ...options]);
    await rename(unfinished, data);
  }
  return { data, log, password: (await readFile(secret, 'utf8')).trim() };
}

/**
 * Whether this process is the one that starts and stops the server: no other that still runs has said so. A command run beside the
 * program, such as a rebuild, is a guest.
 */
export async function claim(dataDir: string): Promise<boolean> {
  const file = join(dataDir, 'postgres', 'owner.pid');
  const owner = Number(await readFile(file, 'utf8').catch(() => '0'));
  if (owner > 0 && owner !== process.pid && isRunning(owner)) return false;
  await writeFile(file, String(process.pid));
  return true;
}

export async function disclaim(dataDir: string): Promise<void> {
  await rm(join(dataDir, 'postgres', 'owner.pid'), { force: true });
}
