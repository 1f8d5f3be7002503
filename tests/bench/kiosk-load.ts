import { Agent, request } from 'node:http';
import { setTimeout as pause } from 'node:timers/promises';
import { v7 } from 'uuid';
import { demoPlant } from '../../seed/load-demo.ts';
import type { LetIn } from '../../server/actions/access/devices.ts';
import { DEVICE_HEADER } from '../../server/contract/identity.ts';
import type { App } from '../../server/app.ts';
import { openHouse } from '../../server/open-house.ts';
import { doorOf, enter } from '../support/enter.ts';

const UNITS = 500;
/** More than a kiosk states in a round: its counter goes on from round to round. */
const FACTS = 100_000;
const BADGE = 'badge-1';

const BY = { who: 'bench', device: 'bench' };

/** The plant of the bench and the tokens of its kiosks. */
export interface Kiosks {
  plant: ReturnType<typeof demoPlant>;
  paired: LetIn[];
}

/** The plant, the wearer of the badge and `count` kiosks, made beside the server on its database: the door lets one address pair so many a minute. */
export async function pairKiosks(base: string, databaseUrl: string, count: number): Promise<Kiosks> {
  await untilHealthy(base);
  return besideIt(databaseUrl, async (house) => {
    const plant = demoPlant(Date.now());
    await house.actions.loadPlant(plant, Date.now(), BY);
    await (await enter(doorOf(house), (await house.actions.access.firstLink())!)).kiosk(BADGE, ['lead'], null, plant.code);
    const nobody = { device: null, session: null, source: 'bench' };
    const paired: LetIn[] = [];
    for (let n = 0; n < count; n++) paired.push(await house.actions.access.pairWithDemo(nobody, plant.code, `kiosk-${n}`));
    return { plant, paired };
  });
}

/**
 * Scans a second that the server acknowledged, from kiosks that each state one scan at a time for `seconds`.
 * Each takes unit after unit through every station of the line and off it, and the kiosks are spread over the line, so that about two units
 * stand at each station, as on a full line (`UNITS` are more than a round gets through); a scan counts when its reply says recorded or flagged.
 */
export async function acknowledgedScans(base: string, databaseUrl: string, { plant, paired }: Kiosks, seconds: number, round: number): Promise<number> {
  await besideIt(databaseUrl, (house) => scheduleUnits(house, plant, round));
  // What was made beside the server is known there by then.
  await pause(1_500);
  const agent = new Agent({ keepAlive: true, maxSockets: paired.length });
  const stations = plant.lines[0]!.stations.map((station) => station.code);
  const steps = stations.length + 1;
  const end = Date.now() + seconds * 1_000;
  let acknowledged = 0;
  const kiosk = async ({ code, token }: LetIn, number: number): Promise<void> => {
    for (let scan = Math.floor((number * steps) / paired.length); Date.now() < end; scan++) {
      const unit = `B${round}-${(number + paired.length * Math.floor(scan / steps)) % UNITS}`;
      const station = stations[scan % steps];
      const step = station === undefined ? { kind: 'leave', unit, station: stations.at(-1)! } : { kind: 'arrive', unit, station };
      const fact = { id: v7(), happened: new Date().toISOString(), told: false, who: BADGE, device: code, counter: round * FACTS + scan, ...step };
      const reply = await send(agent, `${base}/api/plants/${plant.code}/facts`, token, { facts: [fact] });
      const outcome = (JSON.parse(reply) as { replies: { outcome: string }[] }).replies[0]?.outcome;
      if (outcome === 'recorded' || outcome === 'flagged') acknowledged++;
    }
  };
  const began = Date.now();
  await Promise.all(paired.map(kiosk));
  agent.destroy();
  return acknowledged / ((Date.now() - began) / 1_000);
}

async function scheduleUnits({ actions }: App, plant: Kiosks['plant'], round: number): Promise<void> {
  const facts = Array.from({ length: UNITS }, (_, i) => ({
    id: v7(), happened: new Date().toISOString(), told: false, ...BY, counter: round * UNITS + i, kind: 'register', unit: `B${round}-${i}`, model: plant.models[0]!.code,
    options: [], order: '', dealer: 'Dealer 01', sequence: i, plannedRelease: null, wish: null, promise: null,
  }));
  for (let i = 0; i < UNITS; i += 100) await actions.recordFacts(plant.code, facts.slice(i, i + 100));
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

function send(agent: Agent, url: string, token: string, body: unknown): Promise<string> {
  const text = JSON.stringify(body);
  return new Promise((resolve, reject) => {
    const headers = {
      'content-type': 'application/json', 'content-length': Buffer.byteLength(text), [DEVICE_HEADER]: token,
    };
    const outgoing = request(url, { agent, method: 'POST', headers }, (incoming) => {
      let reply = '';
      incoming.setEncoding('utf8');
      incoming.on('data', (part: string) => (reply += part));
      incoming.on('end', () => (incoming.statusCode === 200 ? resolve(reply) : reject(new Error(`${url}: ${incoming.statusCode} ${reply}`))));
    });
    outgoing.on('error', reject);
    outgoing.end(text);
  });
}
