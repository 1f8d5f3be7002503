import { setTimeout as pause } from 'node:timers/promises';
import { v7 } from 'uuid';
import { demoPlant } from '../../seed/load-demo.ts';
import type { LetIn } from '../../server/actions/access/devices.ts';
import { DEVICE_HEADER } from '../../server/contract/identity.ts';
import type { App } from '../../server/app.ts';
import { openHouse } from '../../server/open-house.ts';
import { doorOf, enter } from '../support/enter.ts';
import { LeanClient } from './lean-client.ts';

const UNITS = 500;
/** More than a kiosk states in a round: its counter goes on from round to round. */
const FACTS = 100_000;
const BADGE = 'badge-1';

const BY = { who: 'bench', device: 'bench' };

/** The plant of the bench and the tokens of its kiosks, in sets that take turns: the door lets a device ask only so often a minute. */
export interface Kiosks {
  plant: ReturnType<typeof demoPlant>;
  sets: LetIn[][];
}

const SETS = 3;

/** The plant, the wearer of the badge and sets of `count` kiosks, made beside the server on its database: the door lets one address pair so many a minute. */
export async function pairKiosks(base: string, databaseUrl: string, count: number): Promise<Kiosks> {
  await untilHealthy(base);
  return besideIt(databaseUrl, async (house) => {
    const plant = demoPlant(Date.now());
    await house.actions.loadPlant(plant, Date.now(), BY);
    await (await enter(doorOf(house), (await house.actions.access.firstLink())!)).kiosk(BADGE, ['lead'], null, plant.code);
    const nobody = { device: null, session: null, source: 'bench' };
    const sets: LetIn[][] = Array.from({ length: SETS }, () => []);
    for (let n = 0; n < SETS * count; n++) sets[n % SETS]!.push(await house.actions.access.pairWithDemo(nobody, plant.code, `kiosk-${n}`));
    return { plant, sets };
  });
}

/**
 * Scans a second that the server acknowledged, from kiosks that each state one scan at a time for `seconds`.
 * Each takes unit after unit through every station of the line and off it, and the kiosks are spread over the line, so that about two units
 * stand at each station, as on a full line (`UNITS` are more than a round gets through); a scan counts when its reply says recorded or flagged.
 */
export async function acknowledgedScans(base: string, databaseUrl: string, { plant, sets }: Kiosks, seconds: number, round: number): Promise<number> {
  const paired = sets[round % sets.length]!;
  await besideIt(databaseUrl, (house) => turnOver(house, plant, round));
  // What was made beside the server is known there by then.
  await pause(1_500);
  const clients = await Promise.all(paired.map(({ token }) => LeanClient.open(new URL(base), `/api/plants/${plant.code}/facts`, { [DEVICE_HEADER]: token })));
  const stations = plant.lines[0]!.stations.map((station) => station.code);
  const steps = stations.length + 1;
  const end = Date.now() + seconds * 1_000;
  let acknowledged = 0;
  const kiosk = async ({ code }: LetIn, number: number): Promise<void> => {
    for (let scan = Math.floor((number * steps) / paired.length); Date.now() < end; scan++) {
      const unit = `B${round}-${(number + paired.length * Math.floor(scan / steps)) % UNITS}`;
      const station = stations[scan % steps];
      const step = station === undefined ? { kind: 'leave', unit, station: stations.at(-1)! } : { kind: 'arrive', unit, station };
      const fact = { id: v7(), happened: new Date().toISOString(), told: false, who: BADGE, device: code, counter: round * FACTS + scan, ...step };
      const reply = await clients[number]!.post({ facts: [fact] });
      const outcome = (JSON.parse(reply) as { replies: { outcome: string }[] }).replies[0]?.outcome;
      if (outcome === 'recorded' || outcome === 'flagged') acknowledged++;
    }
  };
  const began = Date.now();
  await Promise.all(paired.map(kiosk));
  const took = Date.now() - began;
  for (const client of clients) client.close();
  return acknowledged / (took / 1_000);
}

/** The units of the round before are shipped, as a plant's are, and those of this one scheduled. */
async function turnOver({ actions }: App, { code, models }: Kiosks['plant'], round: number): Promise<void> {
  const stated = (n: number) => ({ id: v7(), happened: new Date().toISOString(), told: false, ...BY, counter: 2 * round * UNITS + n });
  const shipped = Array.from({ length: round > 0 ? UNITS : 0 }, (_, i) => ({ ...stated(i), kind: 'ship', unit: `B${round - 1}-${i}` }));
  const scheduled = Array.from({ length: UNITS }, (_, i) => ({
    ...stated(UNITS + i), kind: 'register', unit: `B${round}-${i}`, model: models[0]!.code,
    options: [], order: '', dealer: 'Dealer 01', sequence: round * UNITS + i, plannedRelease: null, wish: null, promise: null,
  }));
  const facts = [...shipped, ...scheduled];
  for (let i = 0; i < facts.length; i += 100) await actions.recordFacts(code, facts.slice(i, i + 100));
}

/** A second server on the same database, for as long as `act` takes. */
async function besideIt<T>(databaseUrl: string, act: (house: App) => Promise<T>): Promise<T> {
  const house = await openHouse(databaseUrl, () => {});
  try {
    return await act(house);
  } finally {
    await house.close();
  }
}

async function untilHealthy(base: string): Promise<void> {
  for (let tries = 0; tries < 200; tries++) {
    const healthy = await fetch(`${base}/health`).then((reply) => reply.ok, () => false);
    if (healthy) return;
    await pause(100);
  }
  throw new Error(`${base}/health did not answer 200 within 20 seconds`);
}
