import { Agent, request } from 'node:http';
import { setTimeout as pause } from 'node:timers/promises';
import { v7 } from 'uuid';
import { demoPlant } from '../../seed/load-demo.ts';

const UNITS = 2_000;

/**
 * Scans a second that the server acknowledged, from `kiosks` kiosks that each state one scan at a time for `seconds`.
 * Every scan moves a unit one station on; a scan counts when its reply says recorded or flagged.
 */
export async function acknowledgedScans(base: string, kiosks: number, seconds: number, round: number): Promise<number> {
  const agent = new Agent({ keepAlive: true, maxSockets: kiosks });
  const post = (path: string, body: unknown, method = 'POST') => send(agent, base + path, method, body);
  await untilHealthy(base);
  const plant = demoPlant(Date.now());
  await post(`/api/plants/${plant.code}/setup`, plant, 'PUT');
  const stations = plant.lines[0]!.stations.map((station) => station.code);
  const counters = new Map<string, number>();
  const fact = (device: string, own: Record<string, unknown>) => {
    const counter = (counters.get(device) ?? 0) + 1;
    counters.set(device, counter);
    return { id: v7(), happened: new Date().toISOString(), told: false, who: 'badge-1', device, counter, ...own };
  };
  for (let first = 0; first < UNITS; first += 100) {
    const facts = Array.from({ length: 100 }, (_, i) => fact(`office-${round}`, {
      kind: 'register', unit: `B${round}-${first + i}`, model: plant.models[0]!.code, options: [], order: '', dealer: 'Dealer 01',
      sequence: first + i, plannedRelease: null, wish: null, promise: null,
    }));
    await post(`/api/plants/${plant.code}/facts`, { facts });
  }
  const end = Date.now() + seconds * 1_000;
  let acknowledged = 0;
  const kiosk = async (number: number): Promise<void> => {
    for (let scan = 0; Date.now() < end; scan++) {
      const unit = `B${round}-${(number + kiosks * scan) % UNITS}`;
      const station = stations[Math.floor((scan * kiosks) / UNITS) % stations.length]!;
      const reply = await post(`/api/plants/${plant.code}/facts`, { facts: [fact(`kiosk-${round}-${number}`, { kind: 'arrive', unit, station })] });
      const outcome = (JSON.parse(reply) as { replies: { outcome: string }[] }).replies[0]?.outcome;
      if (outcome === 'recorded' || outcome === 'flagged') acknowledged++;
    }
  };
  const began = Date.now();
  await Promise.all(Array.from({ length: kiosks }, (_, number) => kiosk(number)));
  agent.destroy();
  return acknowledged / ((Date.now() - began) / 1_000);
}

async function untilHealthy(base: string): Promise<void> {
  for (let tries = 0; tries < 200; tries++) {
    const healthy = await fetch(`${base}/health`).then((reply) => reply.ok, () => false);
    if (healthy) return;
    await pause(100);
  }
  throw new Error(`${base}/health did not answer 200 within 20 seconds`);
}

function send(agent: Agent, url: string, method: string, body: unknown): Promise<string> {
  const text = JSON.stringify(body);
  return new Promise((resolve, reject) => {
    const headers = {
      'content-type': 'application/json', 'content-length': Buffer.byteLength(text), 'stationhand-who': 'badge-1', 'stationhand-device': 'bench',
    };
    const outgoing = request(url, { agent, method, headers }, (incoming) => {
      let reply = '';
      incoming.setEncoding('utf8');
      incoming.on('data', (part: string) => (reply += part));
      incoming.on('end', () => (incoming.statusCode === 200 ? resolve(reply) : reject(new Error(`${method} ${url}: ${incoming.statusCode} ${reply}`))));
    });
    outgoing.on('error', reject);
    outgoing.end(text);
  });
}
