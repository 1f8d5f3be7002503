import type { AddressInfo } from 'node:net';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { type FaultProxy, startFaultProxy } from '../faults/fault-proxy.ts';
import { openBrowser } from '../support/browser.ts';
import { accessible, kiosk, kioskContext, scanned, stands, wearBadge } from './kiosk-page.ts';
import { programKept } from './offline-page.ts';

let house: TestHouse;
let browser: Browser;
let network: FaultProxy;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), BY);
  await house.app.actions.recordFacts('P', wire([register('CF1')]));
  await house.app.fastify.listen({ host: '127.0.0.1', port: 0 });
  network = await startFaultProxy(() => (house.app.fastify.server.address() as AddressInfo).port);
});

afterAll(async () => {
  await browser?.close();
  await network?.close();
  await house?.close();
});

const programs = (page: Awaited<ReturnType<typeof kiosk>>): Promise<string[]> => page.evaluate(() => caches.keys());

describe('a new version of the program', () => {
  it('is said to be there, is taken when a person says so, and loses nothing that is not sent', async () => {
    const context = await kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
    const page = await kiosk(context, `http://127.0.0.1:${network.port}/P`, 'S1');
    await programKept(page);
    await wearBadge(page, 'badge-7');
    network.faults = () => ({ kind: 'cutBefore' });
    await scanned(page, 'CF1', 'Arrive');
    const before = await programs(page);

    network.rewrite = (path, body) => (path === '/service-worker.js' ? Buffer.from(body.toString().replace(/"program":"[0-9a-f]+"/, '"program":"0000000000000001"')) : body);
    await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
    await page.getByText('A new version of the program is here.').waitFor();
    await accessible(page);
    await Promise.all([page.waitForEvent('load'), page.getByRole('button', { name: 'Take it now' }).click()]);
    await page.getByText('1 not sent yet, kept on this device').waitFor();
    expect(await stands(page)).toBe('CF1');
    // The one before stays for pages that are still open.
    expect(await programs(page)).toEqual([...before, 'stationhand-program-0000000000000001']);

    network.faults = () => ({ kind: 'none' });
    await page.evaluate(() => dispatchEvent(new Event('online')));
    await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });
    expect((await house.app.actions.unitStory('P', 'CF1')).facts.map(({ kind }) => kind)).toEqual(['register', 'arrive']);
    await context.close();
  });
});
