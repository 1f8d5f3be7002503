import AxeBuilder from '@axe-core/playwright';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { kiosk, kioskContext, scanned, wearBadge } from './kiosk-page.ts';

/** 20 mm in CSS pixels of 1/96 inch. */
const TOUCH = (20 / 25.4) * 96;
const VIEWPORTS = [{ width: 1280, height: 800 }, { width: 800, height: 1280 }, { width: 390, height: 844 }];

let house: TestHouse;
let browser: Browser;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), Date.parse('2026-01-01T00:00:00Z'), BY);
  await house.app.actions.recordFacts('P', wire(Array.from({ length: 8 }, (_, i) => register(`CF${i + 1}`, { sequence: i }))));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

const device = (viewport: { width: number; height: number }): Promise<BrowserContext> => kioskContext(browser, house, { viewport, locale: 'en-US' });
const PANELS = ['Hold', 'Leave short', 'Stop the station', 'Pull off', 'It was at …', 'This device'];

/** Everything that can be touched and is smaller than a finger in a glove: its words and its size. */
function tooSmall(page: Page): Promise<string[]> {
  return page.evaluate((least) => {
    const found: string[] = [];
    const look = (root: ParentNode): void => {
      for (const element of root.querySelectorAll<HTMLElement>('*')) {
        if (element.shadowRoot) look(element.shadowRoot);
        if (!element.matches('button, input, select, summary, a[href]')) continue;
        const { width, height } = element.getBoundingClientRect();
        if (width > 0 && (width < least || height < least)) found.push(`${element.tagName} ${element.innerText || element.getAttribute('name')}: ${Math.round(width)} × ${Math.round(height)}`);
      }
    };
    look(document);
    return found;
  }, TOUCH - 0.5);
}

/** Contrast of 7 to 1 (WCAG 2.2, 1.4.6), for screens that the sun falls on. */
async function paleWords(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).withRules(['color-contrast-enhanced']).analyze();
  return violations.flatMap(({ nodes }) => nodes.map(({ html, any }) => `${html} ${any[0]?.message}`));
}

describe.each(VIEWPORTS)('the Station screen at $width × $height', (viewport) => {
  it('can be touched in gloves and read in glare, with every panel open', async () => {
    const context = await device(viewport);
    const page = await kiosk(context, base, 'S1');
    await wearBadge(page, 'badge-7');
    const unit = `CF${VIEWPORTS.indexOf(viewport) + 1}`;
    await scanned(page, unit, 'Arrive');
    await page.getByText('Screens', { exact: true }).click();
    for (const dark of [false, true]) {
      await page.evaluate((is) => (document.documentElement.dataset['theme'] = is ? 'dark' : 'light'), dark);
      for (const panel of PANELS) {
        expect(await tooSmall(page)).toEqual([]);
        // Where the sun falls on it, the light page is chosen.
        if (!dark) expect(await paleWords(page)).toEqual([]);
        await page.getByRole('button', { name: panel, exact: true }).click();
        expect(await tooSmall(page)).toEqual([]);
        if (!dark) expect(await paleWords(page)).toEqual([]);
        await page.getByRole('button', { name: 'Back' }).click();
      }
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(viewport.width);
    await context.close();
  });
});

describe('the Station screen', () => {
  it('is worked by keys alone: into a panel, out by Escape, back to the big button', async () => {
    const context = await device(VIEWPORTS[0]!);
    const page = await kiosk(context, base, 'S2');
    await wearBadge(page, 'badge-7');
    await scanned(page, 'CF5', 'Arrive');
    await page.getByRole('button', { name: 'Hold', exact: true }).focus();
    await page.keyboard.press('Enter');
    const focused = (): Promise<string> => page.evaluate(() => {
      let element = document.activeElement;
      while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
      return (element as HTMLElement | null)?.innerText.trim() ?? '';
    });
    await expect.poll(focused).toBe('going on with work');
    await page.keyboard.press('Escape');
    await expect.poll(focused).toMatch(/^Finish/);
    await page.keyboard.press('Space');
    await page.getByText('Heard: Finish CF5').waitFor();
    await context.close();
  });

  it('has its big buttons on the side of the hand that works, and the device keeps which', async () => {
    const context = await device(VIEWPORTS[0]!);
    const page = await kiosk(context, base, 'S3');
    const left = async (): Promise<number> => (await page.locator('sh-station-screen section:not(.side)').boundingBox())!.x;
    const right = await left();
    await page.getByRole('button', { name: 'This device' }).click();
    await page.getByRole('button', { name: 'Left hand' }).click();
    await page.getByRole('button', { name: 'Quiet' }).click();
    await page.getByRole('button', { name: 'Back' }).click();
    expect(await left()).toBeLessThan(right);
    await page.reload();
    await page.getByLabel('Badge').waitFor();
    expect(await left()).toBeLessThan(right);
    await context.close();
  });

  it('moves nothing for who wants no motion', async () => {
    const context = await kioskContext(browser, house, { viewport: VIEWPORTS[0]!, reducedMotion: 'reduce', locale: 'en-US' });
    const page = await kiosk(context, base, 'S1');
    expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
    await context.close();
  });
});
