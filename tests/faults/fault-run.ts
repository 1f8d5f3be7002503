import { rebuildDerived } from '../../server/actions/rebuild-derived.ts';
import { openHouse } from '../../server/open-house.ts';
import { openDatabase } from '../../server/store/database.ts';
import { type Chance, chanceFrom } from '../../seed/random.ts';
import { register, wholePlant, wire } from '../actions/house.ts';
import { doorAt, enter, type Entered, type Entrance } from '../support/enter.ts';
import { freePort, type ServerProcess, startServer } from '../support/server-process.ts';
import { BADGE, Device, scanAt, waitFor } from './device.ts';
import { type Fault, type FaultProxy, startFaultProxy, type Step } from './fault-proxy.ts';

const UNITS = Array.from({ length: 12 }, (_, i) => `CF${i + 1}`);
/** Of each kiosk in turn: its stations, a tab each. */
const STATIONS = [['S1', 'S2'], ['S3']];
const STEPS: Step[] = ['asked', 'answered', 'passedOn'];
const LONGEST_HEALING_MS = 120_000;

export interface FaultRun {
  seed: number;
  /** Scans of which the screen said that they were heard, and how many of these ids the log holds once. */
  heard: number;
  inLog: number;
  /** Heard and neither in the log nor on the device. */
  lost: string[];
  /** Counters of a device that the log lacks, or has for two facts. */
  gaps: string[];
  refused: string[];
  unsent: string[];
  /** Whether the derived tables are those that a rebuild from the facts gives. */
  identical: boolean;
  faults: Record<string, number>;
}

/**
 * Kiosks, every other one with two tabs, scan through a network that cuts, slows, doubles and reorders what they send, while tabs, browsers and the
 * server are ended, tabs at every step of sending. Then all is well again, everything is sent, and the log is held against what the screens said.
 * What happens and in which order follows from `seed`; how long the machine takes for each of it does not.
 */
export async function faultRun({ seed, acts, databaseUrl, kiosks = STATIONS.length }: { seed: number; acts: number; databaseUrl: string; kiosks?: number }): Promise<FaultRun> {
  const chance = chanceFrom(seed);
  let server = await startServer(await freePort(), { DATABASE_URL: databaseUrl }, ['--empty']);
  const entrance = await setUp(server);
  const proxy = await startFaultProxy(() => server.port);
  const devices: Device[] = [];
  const done: Record<string, number> = { tabsEnded: 0, powerCuts: 0, serverKills: 0, networkCuts: 0 };
  try {
    for (let n = 0; n < kiosks; n++) devices.push(await Device.start(`http://127.0.0.1:${proxy.port}/P`, STATIONS[n % STATIONS.length]!, await entrance.kiosk(BADGE, ['lead'])));
    for (const device of devices) await openAll(device);
    proxy.faults = () => drawFault(chance);
    const heard = new Set<string>();
    const floor: Floor = { chance, proxy, devices, heard, done, restart: async () => (server = await restarted(server, databaseUrl)) };
    for (let i = 0; i < acts; i++) await act(floor);
    await heal(floor);
    const held = await Promise.all(devices.map((device) => device.heldBack()));
    await Promise.all(devices.map((device) => device.cutPower()));
    await proxy.settled();
    await server.stop();
    return { seed, heard: heard.size, ...(await heldAgainstLog(databaseUrl, heard, held)), faults: { ...proxy.counts, ...done } };
  } finally {
    await Promise.all(devices.map((device) => device.end()));
    await proxy.close();
    await server.kill();
  }
}

interface Floor {
  chance: Chance;
  proxy: FaultProxy;
  devices: readonly Device[];
  heard: Set<string>;
  done: Record<string, number>;
  restart(): Promise<unknown>;
}

async function act(floor: Floor): Promise<void> {
  const { chance, proxy, devices, done } = floor;
  const device = chance.pick(devices);
  const drawn = chance.next();
  if (drawn < 0.72) return scan(floor, device);
  if (drawn < 0.84) return dieSending(floor, device);
  if (drawn < 0.89) {
    done['powerCuts']!++;
    return device.cutPower();
  }
  if (drawn < 0.93) {
    done['serverKills']!++;
    await floor.restart();
    return;
  }
  done['networkCuts']!++;
  proxy.open(false);
  const scans = 1 + Math.floor(chance.next() * 4);
  for (let i = 0; i < scans; i++) await scan(floor, chance.pick(devices));
  proxy.open(true);
}

async function scan({ chance, heard }: Floor, device: Device): Promise<void> {
  const id = await scanAt(device, chance.pick(device.stations), chance.pick(UNITS));
  if (id !== null) heard.add(id);
}

/** Scans, and ends the device's tabs or its browser when what it sends has come so far, or a moment later. */
async function dieSending(floor: Floor, device: Device): Promise<void> {
  const { chance, proxy, done } = floor;
  const [step, later, power] = [chance.pick(STEPS), Math.floor(chance.next() * 12), chance.next() < 0.4];
  let dying: Promise<void> | null = null;
  proxy.atStep = (now) => {
    if (now !== step || dying) return;
    dying = new Promise<void>((resolve) => setTimeout(resolve, later)).then(() => (power ? device.cutPower() : device.endTabs()));
  };
  await scan(floor, device);
  // A way that was cut before that step is as good a place to die.
  await new Promise((resolve) => setTimeout(resolve, 150));
  proxy.atStep = () => {};
  await (dying ?? device.endTabs());
  done[power && dying ? 'powerCuts' : 'tabsEnded']!++;
}

function drawFault(chance: Chance): Fault {
  const drawn = chance.next();
  const ms = Math.floor(chance.next() * 400);
  if (drawn < 0.45) return { kind: 'none' };
  if (drawn < 0.58) return { kind: 'cutBefore' };
  if (drawn < 0.7) return { kind: 'cutAfter' };
  if (drawn < 0.78) return { kind: 'cutAnswer' };
  return drawn < 0.88 ? { kind: 'slow', ms } : { kind: 'twice', ms: ms * 3 };
}

/** The network and the server are well again, every station's screen is open, and everything is sent. */
async function heal({ proxy, devices }: Floor): Promise<void> {
  proxy.faults = () => ({ kind: 'none' });
  proxy.open(true);
  for (const device of devices) {
    for (const station of device.stations) await device.tab(station);
    await waitFor(async () => {
      await device.hurry();
      return (await device.heldBack()).unsent.length === 0 ? true : null;
    }, LONGEST_HEALING_MS, 'everything to be sent');
  }
}

/** Every station's screen once, so that the device keeps the program. */
async function openAll(device: Device): Promise<void> {
  for (const station of device.stations) {
    const page = await device.tab(station);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  }
}

/** The plant, its units and the wearer of the badge, put in by people who are signed in. */
async function setUp({ port, told }: ServerProcess): Promise<Entrance> {
  const entrance = await enter(doorAt(`http://127.0.0.1:${port}`), await told(/\/link#(\S+)/));
  const put = async (by: Entered, method: string, path: string, body: unknown): Promise<void> => {
    const reply = await fetch(`http://127.0.0.1:${port}/api/plants/P${path}`, { method, headers: { ...by.headers, 'content-type': 'application/json' }, body: JSON.stringify(body) });
    if (!reply.ok) throw new Error(`${path}: ${reply.status} ${await reply.text()}`);
  };
  await put(entrance.admin, 'PUT', '/setup?validFrom=2026-01-01T00:00:00Z', wholePlant());
  const office = await entrance.person('office-1', ['productionControl'], ['P']);
  await put(office, 'POST', '/facts', { facts: wire(UNITS.map((unit, sequence) => ({ ...register(unit, { sequence }), who: office.badge, device: office.device, told: true }))) });
  return entrance;
}

async function restarted(server: ServerProcess, databaseUrl: string): Promise<ServerProcess> {
  await server.kill();
  return startServer(server.port, { DATABASE_URL: databaseUrl }, ['--empty']);
}

async function heldAgainstLog(databaseUrl: string, heard: ReadonlySet<string>, held: readonly { unsent: string[]; refused: string[] }[]): Promise<Omit<FaultRun, 'seed' | 'heard' | 'faults'>> {
  const house = await openHouse(databaseUrl, () => {});
  const { db, close } = openDatabase(databaseUrl, () => {}, 2);
  try {
    await house.actions.minutesTold('P');
    const rows = await db.selectFrom('facts').where('plant', '=', 'P').where('kind', '<>', 'register').select(['id', 'device', 'counter']).execute();
    const times = new Map<string, number>();
    for (const { id } of rows) times.set(id, (times.get(id) ?? 0) + 1);
    const [unsent, refused] = [held.flatMap((device) => device.unsent), held.flatMap((device) => device.refused)];
    const { identical } = await rebuildDerived(db, 'P');
    return {
      inLog: [...heard].filter((id) => times.get(id) === 1).length, lost: [...heard].filter((id) => !times.has(id) && !unsent.includes(id)),
      gaps: gapsIn(rows.map(({ device, counter }) => ({ device, counter: Number(counter) }))), unsent, refused, identical,
    };
  } finally {
    await close();
    await house.close();
  }
}

/** A device gives a counter and keeps its fact in one stroke: each counter up to the last is one fact in the log. */
function gapsIn(rows: readonly { device: string; counter: number }[]): string[] {
  return [...new Set(rows.map(({ device }) => device))].flatMap((device) => {
    const counters = rows.filter((row) => row.device === device).map(({ counter }) => counter).toSorted((a, b) => a - b);
    return counters.flatMap((counter, i) => (counter === i + 1 ? [] : [`${device}: ${counter} stands as number ${i + 1}`])).slice(0, 1);
  });
}
