import type { Server } from 'node:https';
import { DemoOfAnotherVersion, keepWorking, resumeDemoOf, startDemo } from './demo.ts';
import { type Environment, environmentOrEnd } from './environment.ts';
import type { App } from './app.ts';
import { systemClock } from './clock.ts';
import { LISTED_SCREENS } from './contract/screens.ts';
import { openHouse } from './open-house.ts';
import { launchPostgres } from './postgres/launch.ts';
import { certificate } from './tls/certificates.ts';
import { keepRenewed } from './tls/renewal.ts';

const LONGEST_STOP_MS = 15_000;

const log = (message: string): void => console.error(`${new Date(systemClock()).toISOString()} ${message}`);

/** Environment, database, migration, program, door: in this order, and back when told to stop. */
async function main(environment: Environment): Promise<void> {
  const undo: (() => Promise<void> | void)[] = [];
  try {
    const postgres = environment.databaseUrl === null ? await launchPostgres(environment.dataDir, log) : null;
    if (postgres) undo.push(() => postgres.stop());
    stopOnSignal(undo);
    const { https, dataDir } = environment;
    const served = https && await certificate(https, dataDir, systemClock());
    let demo: string | null = null;
    const app = await openHouse(environment.databaseUrl ?? postgres!.url, log, { demo: () => demo, certificate: served, hstsDays: environment.hstsDays, provider: environment.provider });
    undo.unshift(() => app.close());
    if (https && served) undo.unshift(keepRenewed(app.fastify.server as Server, served, https, dataDir, systemClock, log));
    await app.fastify.listen({ host: environment.host, port: environment.port });
    if (!environment.empty) demo = await runDemo(app, environment.demoSpeed, undo);
    await sayWhoMayEnter(app, environment, demo);
    await sayWhere(app, environment);
  } catch (error) {
    log(inOneLine(error, environment));
    await undoAll(undo);
    process.exit(1);
  }
}

/** The demo plant is loaded on the first start, and goes on working on every later one. */
async function runDemo(app: App, speed: number, undo: (() => Promise<void> | void)[]): Promise<string | null> {
  if ((await app.actions.plants()).length === 0) {
    console.log('First start: the demo plant is being loaded.');
    const demo = await startDemo(app.actions, systemClock(), speed);
    undo.unshift(keepWorking(demo, systemClock, log));
    console.log(`The demo plant ${demo.plant} has ${demo.facts} facts and goes on working.`);
    return demo.plant;
  }
  const demo = await resumeDemoOf(app.actions, systemClock()).catch((error: unknown) => {
    if (!(error instanceof DemoOfAnotherVersion)) throw error;
    console.log('The demo plant was loaded by another version of the program: it stands still. For one that goes on working, start with another DATA_DIR.');
    return null;
  });
  if (!demo) return null;
  undo.unshift(keepWorking(demo, systemClock, log));
  console.log(`The demo plant ${demo.plant} goes on working; it stated ${demo.facts} facts since it stopped.`);
  if (demo.speed !== speed) console.log(`It keeps the speed of its first start, ${demo.speed}. For another one start it anew, in another DATA_DIR.`);
  return demo.plant;
}

/** The demo's badges and its password; without a demo, the link by which the first administrator comes in. */
async function sayWhoMayEnter(app: App, environment: Environment, demo: string | null): Promise<void> {
  if (demo !== null) {
    const { people, password, pin } = await app.actions.access.demoPeople(demo);
    console.log(`People of the demo, until the next start (password ${password}, PIN ${pin}):`);
    for (const { name, badge, login } of people) console.log(`  badge ${badge}  ${name}${login === null ? '' : `, signs in as ${login}`}`);
    console.log('A browser of this machine becomes a kiosk of the demo by a touch on its first page.');
  }
  const token = await app.actions.access.firstLink();
  if (token !== null) console.log(`The first administrator chooses a password, once and within a day, at ${baseOf(environment)}/link#${token}`);
}

function baseOf({ host, port, https }: Environment): string {
  return `${https ? 'https' : 'http'}://${host === '0.0.0.0' || host === '::' ? 'localhost' : host}:${port}`;
}

async function sayWhere(app: App, environment: Environment): Promise<void> {
  const base = baseOf(environment);
  const plants = await app.actions.plants();
  console.log(`Stationhand is at ${base}/`);
  if (environment.https?.from === 'own') console.log(`Its own certificate: each tablet is to trust ${base}/authority.crt once.`);
  for (const { code, name } of plants) {
    console.log(`${name}:`);
    for (const screen of LISTED_SCREENS) console.log(`  ${screen.padEnd(9)} ${base}/${code}/${screen}`);
  }
  if (plants.length === 0) console.log('There is no plant yet. Load one: npm run load-plant -- plant.json');
}

function inOneLine(error: unknown, { host, port }: Environment): string {
  const { code = '', syscall = '' } = error as { code?: string; syscall?: string };
  if (code === 'EADDRINUSE') return `Port ${port} of ${host} is taken: stop what uses it, or set PORT to another one.`;
  if (code === 'EACCES' && syscall === 'listen') return `This user may not open port ${port}: set PORT to one from 1024.`;
  if (['EADDRNOTAVAIL', 'ENOTFOUND', 'EAI_AGAIN', 'EINVAL'].includes(code)) return `HOST=${host} cannot be used: this machine has no such address. Give 127.0.0.1 for this machine alone, 0.0.0.0 for every address that it has.`;
  return error instanceof Error ? error.message : String(error);
}

async function undoAll(undo: (() => Promise<void> | void)[]): Promise<void> {
  for (const step of undo.splice(0)) await Promise.resolve(step()).catch((error: unknown) => log(String(error)));
}

function stopOnSignal(undo: (() => Promise<void> | void)[]): void {
  let stopping = false;
  const stop = (): void => {
    if (stopping) return;
    stopping = true;
    setTimeout(() => process.exit(1), LONGEST_STOP_MS).unref();
    void undoAll(undo).then(() => process.exit(0));
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
}

await main(environmentOrEnd());
