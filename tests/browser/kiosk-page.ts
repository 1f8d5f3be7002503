import AxeBuilder from '@axe-core/playwright';
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { expect } from 'vitest';
import { cookiesOf, type Entered } from '../support/enter.ts';
import type { TestHouse } from '../actions/house.ts';

/** A browser that the program at `address` knows: with the cookies that it was given, and the device code that its facts carry. */
export async function contextOf(browser: Browser, entered: Entered, address: string, options: BrowserContextOptions = {}): Promise<BrowserContext> {
  const context = await browser.newContext(options);
  await context.addCookies(cookiesOf(entered, address));
  await context.addInitScript(`localStorage.setItem('stationhand-device', ${JSON.stringify(entered.device)})`);
  return context;
}

/** A kiosk of the plant for every station, at which the wearer of badge-7 may be a lead, supervisor and inspector. */
export async function kioskContext(browser: Browser, house: TestHouse, options: BrowserContextOptions = {}): Promise<BrowserContext> {
  return contextOf(browser, await (await house.enter()).kiosk('badge-7', ['lead', 'supervisor', 'inspector']), addressOf(house), options);
}

/** A desk at which the wearer of badge-7 is signed in, in every role. */
export async function deskContext(browser: Browser, house: TestHouse, options: BrowserContextOptions = {}): Promise<BrowserContext> {
  return contextOf(browser, await (await house.enter()).person('badge-7'), addressOf(house), options);
}

function addressOf(house: TestHouse): string {
  const address = house.app.fastify.server.address();
  return `http://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`;
}

/** Opens the Station screen of `station`; `base` is the plant's address. */
export async function kiosk(context: BrowserContext, base: string, station: string): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${base}/station?at=${station}`);
  await page.getByLabel('Badge').waitFor();
  return page;
}

export async function wearBadge(page: Page, badge: string): Promise<void> {
  await page.getByLabel('Badge', { exact: true }).fill(badge);
  await page.getByLabel('Badge', { exact: true }).blur();
}

/** A hand scanner: keys far faster than a person types, ended by Enter. */
export async function scan(page: Page, code: string): Promise<void> {
  await page.bringToFront();
  const keys = await page.context().newCDPSession(page);
  // Sent without waiting for one another: on a busy machine a key that waits for the last one comes as slowly as a person's.
  const press = (key: string, text: string, more: object = {}): Promise<unknown>[] =>
    (['keyDown', 'keyUp'] as const).map((type) => keys.send('Input.dispatchKeyEvent', { type, key, ...(type === 'keyDown' ? { text } : {}), ...more }));
  await Promise.all([...[...code].flatMap((sign) => press(sign, sign)), ...press('Enter', '\r', { code: 'Enter', windowsVirtualKeyCode: 13 })]);
  await keys.detach();
}

/** How long a lead waits for the mark of a scan before scanning again. */
const HEARD_WITHIN_MS = 4_000;

/**
 * Scans at a station with a badge and waits until the device has it. On a busy machine the keys may come as slowly as a person's, and then
 * nothing is heard and nothing stated: as a lead does, it is scanned again.
 */
export async function scanned(page: Page, code: string, heard: string): Promise<void> {
  for (let tries = 0; tries < 6; tries++) {
    await scan(page, code);
    const told = await page.getByText(`Heard: ${heard} ${code}`).waitFor({ timeout: HEARD_WITHIN_MS }).then(() => true, () => false);
    if (told) return;
  }
  throw new Error(`no scan of ${code} was heard as ${heard}`);
}

export const stands = (page: Page): Promise<string | null> => page.locator('sh-station-screen .serial').first().textContent();

export async function accessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
}

/** Downloads the CSV of the late-unit screen: its header and rows, cell by cell, and the rows that the screen shows. */
export async function lateFile(page: Page): Promise<{ rows: Record<string, string>[]; shown: string[][] }> {
  const { parse } = await import('csv-parse/sync');
  const { readFile } = await import('node:fs/promises');
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download CSV' }).click()]);
  const rows = parse(await readFile((await download.path())!, 'utf8'), { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
  const shown = await page.locator('sh-late-screen tr.unit').evaluateAll((lines) =>
    lines.map((line) => [...line.querySelectorAll<HTMLElement>('th, td')].map((cell) => cell.innerText.trim())));
  return { rows, shown };
}
