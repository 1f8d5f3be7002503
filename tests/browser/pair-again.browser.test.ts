import type { AddressInfo } from 'node:net';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import type { Entered } from '../support/enter.ts';
import { accessible, contextOf, kiosk, scanned, wearBadge } from './kiosk-page.ts';
import { onDisk } from './offline-page.ts';

let house: TestHouse;
let browser: Browser;
let origin: string;
let paired: Entered;
let office: Page;
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  await house.app.actions.recordFacts('P', wire([register('CF1')]));
  await house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  origin = `http://127.0.0.1:${(house.app.fastify.server.address() as AddressInfo).port}`;
  const entrance = await house.enter();
  paired = await entrance.kiosk('badge-7', ['lead']);
  office = await (await contextOf(browser, await entrance.person('super-1', ['supervisor'], ['P']), origin, { viewport: { width: 1366, height: 768 }, locale: 'en-US' })).newPage();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const stated = async () => (await house.app.actions.unitStory('P', 'CF1')).facts.filter(({ kind }) => kind !== 'register').map(({ kind, device, counter }) => [kind, device, counter]);

it('a kiosk that lost its token keeps what it stated, is paired again, and sends it once, as itself', async () => {
  const context = await contextOf(browser, paired, origin, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
  const page = await kiosk(context, `${origin}/P`, 'S1');
  await wearBadge(page, 'badge-7');
  await context.setOffline(true);
  await scanned(page, 'CF1', 'Arrive');
  await scanned(page, 'CF1', 'Finish');
  await context.clearCookies();
  await context.setOffline(false);
  await page.getByRole('alert').getByText(/The server does not let this device in any more/).waitFor({ timeout: 30_000 });
  await page.reload();
  await page.getByText('2 not sent yet, kept on this device.').waitFor();

  await office.goto(`${origin}/P/devices`);
  await office.getByLabel('Name of the kiosk').fill('A kiosk of its own');
  await office.getByRole('button', { name: 'Show a pairing code' }).click();
  const ordinary = await office.locator('.code').innerText();
  const pair = async (code: string): Promise<void> => {
    await page.getByLabel('Code that a supervisor shows').fill(code);
    await page.getByRole('button', { name: 'Pair', exact: true }).click();
  };
  await pair(ordinary);
  await page.getByRole('alert').getByText(/This kiosk was paired before, and facts wait on it/).waitFor();
  await accessible(page);
  expect((await onDisk(page)).filter(({ version, refused }) => version === null && refused === null)).toHaveLength(2);

  await office.getByRole('button', { name: 'Pair again: Kiosk' }).click();
  await office.getByText(/It pairs that kiosk again, with what waits on it, and no other/).waitFor();
  await accessible(office);
  await pair(await office.locator('.code').innerText());
  await page.getByRole('heading', { name: /S1/ }).waitFor();
  await expect.poll(stated).toEqual([['arrive', paired.device, 1], ['finish', paired.device, 2]]);
  await page.getByText('not sent yet').waitFor({ state: 'detached' });
  await scanned(page, 'CF1', 'Leave');
  await expect.poll(stated).toEqual([['arrive', paired.device, 1], ['finish', paired.device, 2], ['leave', paired.device, 3]]);
  expect(await page.getByText('Refused').count()).toBe(0);
  await context.close();
});

it('a revoked kiosk hands in the photos that it took before, from where it is told to sign in', async () => {
  const entrance = await house.enter();
  const kioskIn = await entrance.kiosk('badge-8', ['lead']);
  const context = await contextOf(browser, kioskIn, origin, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
  const page = await kiosk(context, `${origin}/P`, 'S1');
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await context.setOffline(true);
  const photo = await page.evaluate(async () => {
    // As the photo box keeps one, under an id of version 7 of this instant.
    const canvas = new OffscreenCanvas(8, 6);
    canvas.getContext('2d')!.fillRect(0, 0, 8, 6);
    const blob = await canvas.convertToBlob({ type: 'image/jpeg' });
    const stamp = Date.now().toString(16).padStart(12, '0');
    const id = `${stamp.slice(0, 8)}-${stamp.slice(8)}-7000-8000-${crypto.getRandomValues(new Uint32Array(2)).reduce((all, n) => all + n.toString(16).padStart(8, '0'), '').slice(0, 12)}`;
    await new Promise((resolve, reject) => {
      const opening = indexedDB.open('stationhand-photos', 1);
      opening.onupgradeneeded = () => void opening.result.createObjectStore('photos', { keyPath: 'id' });
      opening.onerror = () => reject(opening.error);
      opening.onsuccess = () => {
        const writing = opening.result.transaction('photos', 'readwrite');
        writing.objectStore('photos').put({ id, plant: 'P', blob });
        writing.oncomplete = resolve;
      };
    });
    return id;
  });
  const devices = (await house.app.fastify.inject({ url: '/api/plants/P/devices', headers: entrance.admin.headers })).json<{ id: string; code: string }[]>();
  const { id } = devices.find(({ code }) => code === kioskIn.device)!;
  expect((await house.app.fastify.inject({ method: 'POST', url: `/api/plants/P/devices/${id}/revoke`, headers: entrance.admin.headers })).statusCode).toBe(204);
  await context.setOffline(false);
  await page.goto(`${origin}/P/station?at=S1`);
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();
  await expect.poll(async () => (await house.app.fastify.inject({ url: `/api/plants/P/photos/${photo}`, headers: entrance.admin.headers })).statusCode).toBe(200);
  await context.close();
});
