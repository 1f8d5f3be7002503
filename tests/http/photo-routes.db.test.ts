import { v7 } from 'uuid';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, testHouse, type TestHouse, wholePlant } from '../actions/house.ts';

const segment = (marker: number, ...content: number[]): number[] => [0xff, marker, (content.length + 2) >> 8, (content.length + 2) & 0xff, ...content];
const jpeg = (width: number, height: number, content: number[] = [1, 2]): Buffer => Buffer.from([
  0xff, 0xd8, ...segment(0xc0, 8, height >> 8, height & 0xff, width >> 8, width & 0xff, 1, 1, 0x11, 0), ...segment(0xda, 1, 1, 0, 0, 63, 0), ...content, 0xff, 0xd9,
]);

let house: TestHouse;
let headers: Record<string, string>;
beforeAll(async () => {
  house = await testHouse();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  ({ headers } = await (await house.enter()).kiosk('badge-1'));
});
afterAll(() => house.close());

const put = async (id: string, payload: Buffer, type = 'image/jpeg', plant = 'P') => {
  const reply = await house.app.fastify.inject({ method: 'PUT', url: `/api/plants/${plant}/photos/${id}`, headers: { ...headers, 'content-type': type }, payload });
  return { status: reply.statusCode, code: (JSON.parse(reply.body) as { error?: { code: string } }).error?.code ?? null };
};
const get = (id: string) => house.app.fastify.inject({ url: `/api/plants/P/photos/${id}`, headers });

it('keeps a photo once, gives it back as a picture and as nothing else', async () => {
  const id = v7();
  expect(await put(id, jpeg(1280, 720))).toEqual({ status: 200, code: null });
  expect(await put(id, jpeg(1280, 720))).toEqual({ status: 200, code: null });
  expect(await put(id, jpeg(1280, 720, [9]))).toEqual({ status: 400, code: 'malformedPhoto' });
  const reply = await get(id.toUpperCase());
  expect([reply.statusCode, reply.headers['content-type'], reply.headers['x-content-type-options']]).toEqual([200, 'image/jpeg', 'nosniff']);
  expect(reply.headers['content-security-policy']).toContain("default-src 'none'");
  expect(reply.rawPayload.equals(jpeg(1280, 720))).toBe(true);
});

it.each([
  ['no JPEG', Buffer.from('<svg onload="alert(1)"/>'), 400, 'malformedPhoto'], ['nothing', Buffer.alloc(0), 400, 'malformedPhoto'],
  ['too wide a picture', jpeg(1281, 10), 400, 'malformedPhoto'], ['too high a picture', jpeg(10, 1281), 400, 'malformedPhoto'],
  ['too many bytes', jpeg(9, 9, Array<number>(1_000_000).fill(0)), 400, 'malformedPhoto'], ['more than any body', Buffer.alloc(5_000_000), 413, 'bodyTooLarge'],
])('does not keep %s', async (_, payload, status, code) => {
  const id = v7();
  expect(await put(id, payload)).toEqual({ status, code });
  expect((await get(id)).statusCode).toBe(404);
});

it('keeps what a kiosk took before it was revoked, as its facts count, and nothing that it took after', async () => {
  const entrance = await house.enter();
  const kiosk = await entrance.kiosk('badge-2');
  const devices = (await house.app.fastify.inject({ url: '/api/plants/P/devices', headers: entrance.admin.headers })).json<{ id: string; code: string }[]>();
  const { id } = devices.find(({ code }) => code === kiosk.device)!;
  const [before, long] = [v7(), v7({ msecs: Date.now() - 3_600_000 })];
  await new Promise((resolve) => setTimeout(resolve, 5));
  expect((await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/devices/${id}/revoke`, headers: entrance.admin.headers })).statusCode).toBe(204);
  const hand = async (photo: string, plant = 'P', by = kiosk.headers): Promise<string | null> => {
    const reply = await house.app.fastify.inject({ method: 'PUT', url: `/api/plants/${plant}/photos/${photo}`, headers: { ...by, 'content-type': 'image/jpeg' }, payload: jpeg(4, 3) });
    return reply.json<{ error?: { code: string } }>().error?.code ?? null;
  };
  expect([await hand(before), await hand(before)]).toEqual([null, null]);
  expect([await hand(v7()), await hand(v7({ msecs: Date.now() + 60_000 })), await hand(long)]).toEqual(['noRight', 'noRight', 'noRight']);
  expect(await hand(v7({ msecs: Date.now() - 60_000 }), 'NONE')).toBe('noIdentity');
  expect(await hand(before, 'P', { cookie: 'stationhand-device=none' })).toBe('noIdentity');
  expect((await house.app.fastify.inject({ url: `/api/plants/P/photos/${before}`, headers: kiosk.headers })).statusCode).toBe(401);
  expect((await get(before)).rawPayload.equals(jpeg(4, 3))).toBe(true);
});

it('does not keep what is not sent as a JPEG, nor under another id, nor for a plant that there is not', async () => {
  expect(await put(v7(), jpeg(3, 3), 'text/csv')).toEqual({ status: 415, code: 'wrongMediaType' });
  expect(await put('one', jpeg(3, 3))).toEqual({ status: 400, code: 'malformedPhoto' });
  expect(await put(v7(), jpeg(3, 3), 'image/jpeg', 'NONE')).toEqual({ status: 404, code: 'unknownPlant' });
  expect((await get('one')).statusCode).toBe(404);
});
