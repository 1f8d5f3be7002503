import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { kiosk, scanned, wearBadge, kioskContext } from './kiosk-page.ts';

let house: TestHouse;
let browser: Browser;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), { who: 'office-1', device: 'desk-1' });
  await house.app.actions.recordFacts('P', wire(['CF1', 'CF2', 'CF3', 'CF4'].map((unit, sequence) => register(unit, { sequence }))));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

describe('two tabs of one kiosk', () => {
  it('opened at once have one device id, share what is not sent, and send one at a time', async () => {
    const context = await kioskContext(browser, house, { viewport: { width: 1280, height: 800 }, locale: 'en-US' });
    // A slow way to the server: two tabs that both send are sure to be seen at it together.
    await context.route('**/facts', async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 1_500));
      await route.continue();
    });
    const sending = { now: 0, most: 0 };
    const isSend = (method: string, url: string): boolean => method === 'POST' && url.endsWith('/facts');
    context.on('request', (request) => {
      if (isSend(request.method(), request.url())) sending.most = Math.max(sending.most, ++sending.now);
    });
    const ended = (request: { method(): string; url(): string }): void => void (isSend(request.method(), request.url()) && sending.now--);
    context.on('requestfinished', ended);
    context.on('requestfailed', ended);
    const [first, second] = await Promise.all([kiosk(context, base, 'S1'), kiosk(context, base, 'S2')]);
    await wearBadge(first, 'badge-7');
    await wearBadge(second, 'badge-7');

    await context.setOffline(true);
    await scanned(first, 'CF1', 'Arrive');
    await second.getByText('1 not sent yet, kept on this device').waitFor();
    await scanned(second, 'CF2', 'Arrive');
    await first.getByText('2 not sent yet, kept on this device').waitFor();
    await scanned(first, 'CF3', 'Arrive');
    await scanned(second, 'CF4', 'Arrive');
    await context.setOffline(false);
    for (const page of [first, second]) await page.getByText('not sent yet').waitFor({ state: 'detached', timeout: 60_000 });

    const facts = (await Promise.all(['CF1', 'CF2', 'CF3', 'CF4'].map((unit) => house.app.actions.unitStory('P', unit))))
      .flatMap((story) => story.facts).filter((fact) => fact.kind === 'arrive').toSorted((a, b) => a.counter - b.counter);
    expect(facts.map((fact) => 'unit' in fact && fact.unit)).toEqual(['CF1', 'CF2', 'CF3', 'CF4']);
    expect(facts.map(({ counter }) => counter)).toEqual([1, 2, 3, 4]);
    expect(new Set(facts.map(({ device }) => device)).size).toBe(1);
    expect(sending.most).toBe(1);
    await context.close();
  });

  it('make one device id however often they are opened at once', async () => {
    for (let round = 0; round < 5; round++) {
      const context = await browser.newContext();
      const pages = await Promise.all([0, 1, 2].map(() => context.newPage()));
      await Promise.all(pages.map((page) => page.goto(`${base}/board`)));
      await Promise.all(pages.map((page) => page.getByLabel('Password').waitFor()));
      const used = new Set(await Promise.all(pages.map((page) => page.evaluate(() => localStorage.getItem('stationhand-device')))));
      expect([...used]).toEqual([expect.stringMatching(/^kiosk-/)]);
      await context.close();
    }
  });
});
