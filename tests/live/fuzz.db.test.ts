import type { AddressInfo } from 'node:net';
import fc from 'fast-check';
import { io, type Socket } from 'socket.io-client';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type DeviceRow, readDeviceState } from '../../server/contract/devices.ts';
import { ROUTE_RIGHTS } from '../../server/core/access/rights.ts';
import { type Asker, ASKERS, type FuzzedHouse, fuzzedHouse } from '../support/fuzz/fuzzed-house.ts';
import { hostileText, hostileValue, spoiled } from '../support/fuzz/hostile.ts';
import { faultOfRefusal } from '../support/fuzz/refusal.ts';

const RUNS = Number(process.env['FUZZ_RUNS'] ?? 3);
const SEED = Number(process.env['FUZZ_SEED'] ?? 20_261_126);
const HANGS_MS = 20_000;

const EVENTS = Object.keys(ROUTE_RIGHTS).filter((name) => name.startsWith('SOCKET ')).map((name) => name.slice('SOCKET '.length));
const said = fc.record({ station: fc.constantFrom('', 'A', 'NONE'), unsent: fc.nat(99), oldest: fc.constantFrom(null, 1_780_000_000_000), clockAhead: fc.constantFrom(null, -5) }, { noNullPrototype: true });
const handshake = fc.record({ plant: fc.constantFrom('P', 'Q', 'NONE'), who: fc.constantFrom('asks-lead', 'nobody') }, { requiredKeys: ['plant'], noNullPrototype: true });
const auth = fc.oneof(handshake, spoiled(handshake), hostileValue).map((value): object => (typeof value === 'object' && value !== null ? value : { plant: value }));
const argument = fc.oneof(said, spoiled(said), hostileValue, fc.uint8Array({ maxLength: 40 }));

/** Packets of the transport and of Socket.IO that are cut off, out of order, or of something that is not there. */
const PACKETS = [
  '', '9', '4', '40', '40{', '40{"plant":"P"}', '41', '42', '42[', '42[]', '42["device"', '42["device",{}]', '42{"a":1}', '42[null]', '42["connect"]', '42["disconnect"]', '42["error"]', '42["__proto__",1]', '43', '430[]', '44"x"', '45', '451-["device",{"_placeholder":true,"num":0}]',
  '451-["device",{"_placeholder":true,"num":-1}]', '45999999-["device"]', '46-["a"]', '40/other,{"plant":"P"}', '40/__proto__,', '42/P,["device",{}]', 'bAQID', 'b***', '2probe', '3', '5', '6', `42["device",${'['.repeat(3_000)}${']'.repeat(3_000)}]`, `42["device","${'a'.repeat(9_000)}"]`, 'a'.repeat(20_000), '\u0000', '2\u001e2\u001e2',
];

let fuzzed: FuzzedHouse;
let address: string;
beforeAll(async () => {
  fuzzed = await fuzzedHouse();
  await fuzzed.house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  address = `http://127.0.0.1:${(fuzzed.house.app.fastify.server.address() as AddressInfo).port}`;
});
afterAll(() => fuzzed.close());

const within = async <T>(wanted: Promise<T>, what: string): Promise<T> => {
  let timer: NodeJS.Timeout | undefined;
  const hang = new Promise<never>((_, reject) => void (timer = setTimeout(() => reject(new Error(`${what}: nothing within ${HANGS_MS} ms`)), HANGS_MS)));
  return Promise.race([wanted, hang]).finally(() => clearTimeout(timer));
};

interface Come { socket: Socket; refused: unknown }

/** Connects as `asker`; `refused` is what it was told instead, null when it was let in. */
async function comeAs(asker: Asker, asAuth: object): Promise<Come> {
  const socket = io(address, { auth: asAuth, extraHeaders: { ...fuzzed.who(asker)?.headers }, transports: ['websocket'], reconnection: false, forceNew: true });
  const refused = await within(new Promise((resolve) => {
    socket.once('connect', () => resolve(null));
    socket.once('connect_error', (error) => resolve((error as { data?: unknown }).data ?? 'closed'));
    socket.once('disconnect', () => resolve('closed'));
  }), `${asker} connects`);
  return { socket, refused };
}

const isUp = async (): Promise<boolean> => (await fetch(`${address}/health`)).ok;

describe('whatever a socket sends, by whomever', () => {
  it('when it connects is let in or refused in the closed form, and heard of no plant without a right there', async () => {
    const before = await fuzzed.state.read();
    await fc.assert(fc.asyncProperty(auth, async (asAuth) => {
      for (const asker of ASKERS) {
        const { socket, refused } = await comeAs(asker, asAuth);
        socket.disconnect();
        if (refused !== null && refused !== 'closed') expect(faultOfRefusal(refused), JSON.stringify(refused)).toBeNull();
        const plant = (asAuth as { plant?: unknown }).plant;
        const may = asker === 'kiosk' ? ['P'] : asker === 'nobody' ? [] : ['P', 'Q'];
        expect(refused === null, `${asker} at ${JSON.stringify(plant)?.slice(0, 99)}`).toBe(typeof plant === 'string' && may.includes(plant) && JSON.stringify(asAuth).length < 9_000);
      }
    }), { numRuns: RUNS * 3, seed: SEED });
    expect([await isUp(), fuzzed.logged(), await fuzzed.state.read()]).toEqual([true, [], before]);
  });

  it.each(EVENTS)('as the event %s changes nothing that is kept, and tells the others only whole rows of devices', async (event) => {
    const before = await fuzzed.state.read();
    const { socket: witness } = await comeAs('quality', { plant: 'P' });
    const heard: [string, unknown][] = [];
    witness.onAny((name: string, what: unknown) => void heard.push([name, what]));
    await fc.assert(fc.asyncProperty(fc.array(argument, { maxLength: 3 }), hostileText, fc.boolean(), async (args, other, wantsAnswer) => {
      for (const asker of ASKERS) {
        const { socket } = await comeAs(asker, { plant: 'P' });
        socket.emit(event, ...args, ...(wantsAnswer ? [() => {}] : []));
        if (!RESERVED.has(other)) socket.emit(other, ...args);
        socket.disconnect();
      }
    }), { numRuns: Math.ceil(RUNS / 2), seed: SEED });
    // What is told of devices is told together, a second later.
    await new Promise((resolve) => setTimeout(resolve, 1_200));
    witness.disconnect();
    for (const [name, what] of heard) {
      expect(['devices', 'changed', 'forecastMade']).toContain(name);
      if (name === 'changed') expect(what).toMatchObject({ units: [] });
      if (name === 'devices') for (const row of what as DeviceRow[]) expect(readDeviceState(row), JSON.stringify(row)).not.toBeNull();
    }
    expect([await isUp(), fuzzed.logged(), await fuzzed.state.read()]).toEqual([true, [], before]);
  });

  it('as raw packets ends that connection at most', async () => {
    const before = await fuzzed.state.read();
    const { socket: witness, refused } = await comeAs('quality', { plant: 'P' });
    expect(refused).toBeNull();
    await fc.assert(fc.asyncProperty(fc.constantFrom<Asker>('kiosk', 'lead', 'nobody'), fc.array(fc.constantFrom(...PACKETS), { minLength: 1, maxLength: 4 }), async (asker, packets) => {
      const headers = { ...fuzzed.who(asker)?.headers };
      const opened = await (await within(fetch(`${address}/socket.io/?EIO=4&transport=polling`, { headers }), 'opens')).text();
      const { sid } = JSON.parse(opened.slice(1)) as { sid: string };
      for (const packet of packets) {
        const reply = await within(fetch(`${address}/socket.io/?EIO=4&transport=polling&sid=${sid}`, { method: 'POST', headers: { ...headers, 'content-type': 'text/plain;charset=UTF-8' }, body: packet }), packet);
        expect(reply.status, packet.slice(0, 99)).toBeLessThan(500);
        await reply.text();
      }
    }), { numRuns: RUNS * 10, seed: SEED, examples: PACKETS.flatMap((packet): [Asker, string[]][] => [['kiosk', ['40{"plant":"P"}', packet]], ['nobody', [packet]]]) });
    expect([await isUp(), witness.connected, fuzzed.logged(), await fuzzed.state.read()]).toEqual([true, true, [], before]);
    witness.disconnect();
  });
});

/** Names that the client keeps for itself. */
const RESERVED = new Set(['connect', 'connect_error', 'disconnect', 'disconnecting', 'newListener', 'removeListener']);
