import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { aStation } from '../support/given.ts';
import { accessible, deskContext, kiosk, kioskContext, scan, scanned, stands, wearBadge } from './kiosk-page.ts';
import { programKept } from './offline-page.ts';

const KIOSK = { width: 1280, height: 800 };
/** The clock on a screen goes on each second. */
const CLOCK_GONE_ON_MS = 2_500;

let house: TestHouse;
let browser: Browser;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant({ places: [aStation('RB1', { kind: 'repairBay', capacity: 9 })] }), Date.parse('2026-01-01T00:00:00Z'), BY);
  await house.app.actions.recordFacts('P', wire([
    ...Array.from({ length: 8 }, (_, i) => register(`CF${i + 1}`, { sequence: i })),
    stated(0, 'arrive', { unit: 'CF6', station: 'S3' }), stated(1, 'openHold', { unit: 'CF6', reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' }),
  ]));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const floor = (more: { viewport?: typeof KIOSK } = {}): Promise<BrowserContext> => kioskContext(browser, house, { viewport: KIOSK, locale: 'en-US', ...more });
const touch = (page: Page, name: string): Promise<void> => page.getByRole('button', { name, exact: true }).click();
const pressed = (page: Page): Promise<string[]> => page.locator('.panel button[aria-pressed="true"]').allInnerTexts();

/** As when the server's clock is heard to stand elsewhere: the screen's goes on from there. */
function clockMovedTo(page: Page, applied: number): Promise<void> {
  return page.evaluate((ms) => localStorage.setItem('stationhand-clock', JSON.stringify({ ...JSON.parse(localStorage.getItem('stationhand-clock') ?? '{}'), applied: ms })), applied);
}

describe('a panel of the Station screen', () => {
  it('keeps the time that is typed into it while the clock goes on', async () => {
    const context = await floor();
    const page = await kiosk(context, base, 'S1');
    await wearBadge(page, 'badge-7');
    let moved = 0;
    for (const panel of ['It was at …', 'Working hours']) {
      await touch(page, panel);
      await page.locator('input[type="time"]').fill('07:15');
      await clockMovedTo(page, (moved += 600_000));
      await page.waitForTimeout(CLOCK_GONE_ON_MS);
      expect(await page.locator('input[type="time"]').inputValue(), panel).toBe('07:15');
      await touch(page, 'Back');
    }
    await context.close();
  });

  it('has chosen nothing for the next unit that was chosen for the one before', async () => {
    const context = await floor();
    const page = await kiosk(context, base, 'S1');
    await wearBadge(page, 'badge-7');
    await scanned(page, 'CF1', 'Arrive');
    await touch(page, 'Hold');
    await touch(page, 'shipping');
    await touch(page, 'Damage to repair');
    await page.getByText('Heard: Hold CF1').waitFor();
    await touch(page, 'Hold');
    expect(await pressed(page)).toEqual(['going on with work']);
    await touch(page, 'Back');
    await touch(page, 'Pull off');
    await page.locator('.panel button').first().click();
    expect(await pressed(page)).toHaveLength(1);
    await touch(page, 'Failed check');
    await page.getByText('Heard: Pulled off CF1').waitFor();
    await scanned(page, 'CF2', 'Arrive');
    await touch(page, 'Pull off');
    expect(await pressed(page)).toEqual([]);
    await context.close();
  });
});

describe('a station at which more than one unit stands', () => {
  it('shows the unit that was scanned last', async () => {
    const context = await floor();
    const page = await kiosk(context, base, 'I1');
    await wearBadge(page, 'badge-7');
    for (const [unit, heard] of [['CF7', 'Arrive'], ['CF8', 'Arrive'], ['CF7', 'Finish'], ['CF8', 'Finish']] as const) {
      await scanned(page, unit, heard);
      await expect.poll(() => stands(page)).toBe(unit);
    }
    await touch(page, 'CF7');
    await scanned(page, 'CF8', 'Leave');
    await expect.poll(() => stands(page)).toBe('CF7');
    await context.close();
  });
});

describe('an earlier time', () => {
  it('waits for the scan it was said for: undoing happens now', async () => {
    const context = await floor();
    const page = await kiosk(context, base, 'S2');
    await wearBadge(page, 'badge-7');
    await scanned(page, 'CF3', 'Arrive');
    await touch(page, 'It was at …');
    const time = await page.locator('input[type="time"]').inputValue();
    await touch(page, 'Use this time');
    await page.getByText(`The next scan counts for ${time}`).waitFor();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.getByText('Heard: Undone').waitFor();
    expect(await page.getByText(`The next scan counts for ${time}`).count()).toBe(1);
    await scanned(page, 'CF4', 'Arrive');
    expect(await page.getByText(`The next scan counts for ${time}`).count()).toBe(0);
    await expect.poll(async () => (await house.app.actions.unitStory('P', 'CF4')).facts.find(({ kind }) => kind === 'arrive')?.told).toBe(true);
    await context.close();
  });
});

describe('an earlier time that was said by mistake', () => {
  it('is taken back before the next scan', async () => {
    const context = await floor();
    const page = await kiosk(context, base, 'S2');
    await wearBadge(page, 'badge-7');
    await touch(page, 'It was at …');
    expect(await page.getByRole('button', { name: 'The next scan counts for now' }).count()).toBe(0);
    await page.locator('input[type="time"]').fill('05:05');
    await touch(page, 'Use this time');
    await page.getByText('The next scan counts for 05:05').waitFor();
    await touch(page, 'It was at …');
    expect(await page.locator('input[type="time"]').inputValue()).toBe('05:05');
    await touch(page, 'The next scan counts for now');
    await page.getByText('The next scan counts for 05:05').waitFor({ state: 'detached' });
    await scanned(page, 'CF2', 'Arrive');
    await expect.poll(async () => (await house.app.actions.unitStory('P', 'CF2')).facts.findLast(({ kind }) => kind === 'arrive')?.told).toBe(false);
    await context.close();
  });
});

describe('Holds and stops at a kiosk', () => {
  it('asks whoever wears no badge for one, and states nothing until then', async () => {
    const context = await floor();
    const page = await context.newPage();
    await page.goto(`${base}/holds`);
    const clear = page.getByRole('listitem').filter({ hasText: 'CF6' }).getByRole('button');
    await clear.click();
    await page.getByText('Scan or type your badge first').waitFor();
    expect(await page.getByText('Refused').count()).toBe(0);
    await wearBadge(page, 'badge-7');
    await clear.click();
    await page.getByText('Heard: Hold cleared CF6').waitFor();
    await clear.waitFor({ state: 'detached' });
    await accessible(page);
    await context.close();
  });
});

describe('the walk-down', () => {
  it('names the badge that was scanned', async () => {
    const context = await floor();
    const page = await context.newPage();
    await page.goto(`${base}/walk`);
    await page.getByLabel('Badge', { exact: true }).waitFor();
    await scan(page, 'badge-7');
    await page.getByText(/^Badge badge-7: .+ works here now$/).waitFor();
    await context.close();
  });
});

describe('a screen that the server did not answer', () => {
  it('tells the unit when the server is back, and says no more that it is away', async () => {
    const context = await deskContext(browser, house, { viewport: KIOSK, locale: 'en-US' });
    const page = await context.newPage();
    await page.goto(`${base}/unit/CF5`);
    await page.getByRole('heading', { name: 'CF5' }).waitFor();
    await programKept(page);
    await context.setOffline(true);
    await page.reload();
    await page.locator('sh-unit-screen').getByText('The server does not answer.').waitFor();
    await context.setOffline(false);
    await page.getByRole('heading', { name: 'CF5' }).waitFor();
    await expect.poll(() => page.getByText('The server does not answer.').count(), { timeout: 20_000 }).toBe(0);
    await context.close();
  });

  it('says that a file of the late units did not come', async () => {
    const context = await deskContext(browser, house, { viewport: KIOSK });
    await context.addInitScript("localStorage.setItem('stationhand-language', 'es')");
    const page = await context.newPage();
    const wrong: string[] = [];
    page.on('pageerror', ({ message }) => wrong.push(message));
    await page.goto(`${base}/late`);
    await page.getByRole('button', { name: 'Descargar XLSX' }).waitFor();
    await context.setOffline(true);
    await touch(page, 'Descargar XLSX');
    await page.getByRole('alert').getByText('No se pudo obtener el archivo: El servidor no responde.').waitFor();
    expect(wrong).toEqual([]);
    await context.close();
  });
});

describe('a large page in Spanish', () => {
  it('breaks no word of a button of the Station screen', async () => {
    const context = await floor({ viewport: { width: 1920, height: 1080 } });
    await context.addInitScript("localStorage.setItem('stationhand-language', 'es')");
    const page = await context.newPage();
    await page.goto(`${base}/station?at=S3`);
    await page.getByRole('button', { name: 'Nada que deshacer' }).waitFor();
    // A word that may not be broken reaches out of a button that is too narrow for it.
    const broken = await page.locator('sh-station-screen button').evaluateAll((buttons) => (buttons as HTMLElement[]).filter((button) => {
      button.style.overflowWrap = 'normal';
      return button.scrollWidth > button.clientWidth;
    }).map(({ innerText }) => innerText));
    expect(broken).toEqual([]);
    await context.close();
  });
});

describe('a phone in Spanish', () => {
  it('leaves room between the two instants at the ends of a unit\'s time axis', async () => {
    const context = await floor({ viewport: { width: 390, height: 844 } });
    await context.addInitScript("localStorage.setItem('stationhand-language', 'es')");
    const page = await context.newPage();
    await page.goto(`${base}/unit/CF6`);
    await page.locator('sh-time-axis text.soft').nth(1).waitFor();
    const ends = async (): Promise<{ left: number; right: number }[]> => page.locator('sh-time-axis text.soft').evaluateAll((texts) => texts.map((text) => text.getBoundingClientRect()).map(({ left, right }) => ({ left, right })));
    const [first, last] = await ends();
    expect(first!.left).toBeGreaterThanOrEqual(0);
    // An em of their letters.
    expect(last!.left - first!.right).toBeGreaterThan(15);
    await context.close();
  });
});
