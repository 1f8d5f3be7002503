import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { register, stated, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { aLine, aStation } from '../support/given.ts';
import { accessible, kiosk, lateFile, wearBadge, deskContext } from './kiosk-page.ts';

const SIZES = { TV: [1920, 1080], touch: [1280, 800], laptop: [1366, 768], phone: [390, 844] } as const;

let house: TestHouse;
let browser: Browser;
let base: string;

/** A zone in which it is about noon, so that half the shift is over whenever the test runs. Etc/GMT+5 is five hours behind UTC. */
function noonZone(): string {
  const behind = new Date().getUTCHours() - 12;
  return `Etc/GMT${behind < 0 ? '' : '+'}${behind}`;
}

/** Thirty stations in two halls, two repair bays and a yard, units on most of them. */
beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  const stations = Array.from({ length: 25 }, (_, index) => aStation(`ST${10 + index}`, { hall: index < 15 ? 'H1' : 'H2' }));
  const checks = Array.from({ length: 5 }, (_, index) => aStation(`PD${1 + index}0`, { hall: 'H2', kind: 'check' }));
  const lines = [aLine(stations), aLine(checks, { code: 'PDI', name: 'Inspection', purpose: 'inspection' })];
  const places = [aStation('RB1', { kind: 'repairBay', capacity: 2 }), aStation('RB2', { kind: 'repairBay', capacity: 3, hall: 'H2' }), aStation('YARD', { kind: 'yard', capacity: 90, hall: 'YD' })];
  const halls = ['H1', 'H2', 'YD'].map((code) => ({ code, name: code, floors: [] }));
  const standards = Object.fromEntries([...stations, ...checks].map(({ code }, index) => [code, 25 + (index % 7) * 4]));
  const plant = wholePlant({ lines, places, halls, models: [{ code: 'M', name: 'M', length: 8, standards }], timeZone: noonZone() });
  await house.app.actions.loadPlant(plant, Date.parse('2026-01-01T00:00:00Z'), { who: 'office-1', device: 'desk-1' });
  const units = stations.filter((_, index) => index % 4 !== 3).map(({ code }, index) => ({ unit: `CF1043${10 + index}`, code }));
  await house.app.actions.recordFacts('P', wire(units.flatMap(({ unit, code }, index) => [
    register(unit, { sequence: index, promise: index % 2 ? '2026-06-05' : '2026-06-08', dealer: `Dealer ${index % 3}` }), stated(index, 'arrive', { unit, station: code }),
  ])));
  const [a, b, c, d] = units;
  await house.app.actions.recordFacts('P', wire([
    stated(50, 'openHold', { unit: a!.unit, reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' }),
    stated(51, 'openStop', { station: b!.code, reason: 'Tool broken', note: '' }),
    stated(52, 'pullOff', { unit: c!.unit, reason: 'Damage to repair', to: 'RB1' }), stated(53, 'park', { unit: d!.unit, place: 'YARD', slot: '' }),
    // Short crews: where it works, where it is stopped, and where no unit stands.
    ...['ST10', b!.code, 'ST13', 'ST17', 'PD10'].map((station) => stated(54, 'heads', { station, heads: 1 }, { happened: Date.now() })),
  ]));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function opened(size: keyof typeof SIZES, more: { language?: string; theme?: string } = {}): Promise<BrowserContext> {
  const [width, height] = SIZES[size];
  const context = await deskContext(browser, house, { viewport: { width, height }, acceptDownloads: true });
  await context.addInitScript(`localStorage.getItem('stationhand-language') ?? localStorage.setItem('stationhand-language', '${more.language ?? 'en'}');
    localStorage.getItem('stationhand-theme') ?? localStorage.setItem('stationhand-theme', '${more.theme ?? 'light'}');`);
  return context;
}

const overflow = (page: Page): Promise<{ right: number; below: number }> => page.evaluate(() => {
  const { scrollWidth, scrollHeight } = document.documentElement;
  const board = document.querySelector('sh-app')?.shadowRoot?.querySelector('sh-board-screen');
  return { right: scrollWidth - innerWidth, below: Math.max(scrollHeight - innerHeight, board ? board.scrollHeight - board.clientHeight : 0) };
});

/** Pairs of words drawn on the path that lie over each other, and words that reach outside the page. */
const collisions = (page: Page): Promise<string[]> => page.locator('sh-line-path').evaluate((path) => {
  const texts = [...path.shadowRoot!.querySelectorAll('text')].filter((text) => text.textContent?.trim()).map((text) => ({ words: text.textContent!.trim(), box: text.getBoundingClientRect() }));
  // Half a line's leading may touch: the letters themselves do not.
  const over = texts.flatMap((a, i) => texts.slice(i + 1).filter((b) => a.box.left < b.box.right - 1 && b.box.left < a.box.right - 1
    && a.box.top + a.box.height * 0.25 < b.box.bottom - b.box.height * 0.25 && b.box.top + b.box.height * 0.25 < a.box.bottom - a.box.height * 0.25).map((b) => `${a.words} over ${b.words}`));
  return [...over, ...texts.filter(({ box }) => box.left < 0 || box.right > innerWidth).map(({ words }) => `${words} outside`)];
});

describe('the line board', () => {
  for (const language of ['en', 'es']) {
    it(`shows the whole plant on a TV without scrolling, and cuts no word on any page (${language})`, async () => {
      for (const size of Object.keys(SIZES) as (keyof typeof SIZES)[]) {
        const context = await opened(size, { language, theme: language === 'es' ? 'dark' : 'light' });
        const page = await context.newPage();
        await page.goto(`${base}/board`);
        await page.locator('sh-line-path text').first().waitFor();
        expect(await page.locator('sh-line-path text', { hasText: language === 'en' ? 'Short crew' : 'Falta gente' }).count(), size).toBe(5);
        expect(await collisions(page), size).toEqual([]);
        const { right, below } = await overflow(page);
        expect(right, size).toBeLessThanOrEqual(0);
        if (size === 'TV') expect(below).toBeLessThanOrEqual(0);
        await accessible(page);
        await context.close();
      }
    });
  }

  it('tells pace and troubles in its largest letters, and marks the plan on the path', async () => {
    const context = await opened('TV');
    const page = await context.newPage();
    await page.goto(`${base}/board`);
    await page.getByText(/\d+ behind pace/).waitFor();
    await page.getByText('Held ST10').waitFor();
    await page.getByText('Stopped ST11', { exact: true }).waitFor();
    await page.getByText(/Plan: empty from here on/).waitFor();
    const size = await page.getByText('Held ST10').evaluate((words) => Number.parseFloat(getComputedStyle(words).fontSize));
    // 46.5 mm is 16 minutes of arc at 10 m; a 75 inch TV has 0.865 mm a pixel and capitals are 0.73 of the size (DejaVu Sans).
    expect(size * 0.73 * 0.865).toBeGreaterThan(46.5);
    await context.close();
  });
});

describe('late units', () => {
  it('keep group, order and filter in the address, and the file holds the rows that are shown', async () => {
    const context = await opened('laptop');
    const page = await context.newPage();
    await page.goto(`${base}/late`);
    const choose = (name: string, value: string) => page.getByRole('combobox', { name, exact: true }).selectOption(value);
    await choose('Group by', 'Dealer');
    await choose('Sort by', 'Serial');
    await choose('Ship day', '2026-06-05');
    expect(new URL(page.url()).search).toBe('?group=dealer&sort=unit&shipDay=2026-06-05');
    await page.reload();
    await page.getByRole('rowheader', { name: 'Dealer 0' }).waitFor();
    const { rows, shown } = await lateFile(page);
    expect(rows.length).toBeGreaterThan(5);
    expect(rows.map((row) => [row['serial'], row['dealer'], row['promise'], row['working_minutes_late'], row['calendar_days_late']]))
      .toEqual(shown.map((cells) => [cells[0]!.split('\n')[0], cells[1], cells[2], cells.at(-2), cells.at(-1)]));
    expect(new Set(rows.map((row) => row['promise']))).toEqual(new Set(['2026-06-05']));
    expect(rows.map((row) => row['group'])).toEqual(rows.map((row) => row['dealer']).toSorted());
    await accessible(page);
    await context.close();
  });

  it('stand in the groups of a unit\'s way, each with its age, on every page', async () => {
    for (const size of Object.keys(SIZES) as (keyof typeof SIZES)[]) {
      const context = await opened(size, { language: 'es' });
      const page = await context.newPage();
      await page.goto(`${base}/late?only=all`);
      await page.getByRole('link', { name: 'CF104310' }).waitFor();
      const groups = await page.locator('sh-late-screen tr.group th').allInnerTexts();
      expect(groups.map((words) => words.split(/\s+\d/)[0]!.trim()), size).toEqual(['En línea', 'Fuera de línea', 'Patio']);
      expect((await overflow(page)).right, size).toBeLessThanOrEqual(0);
      await accessible(page);
      await context.close();
    }
  });
});

describe('a reason', () => {
  it('chosen on a Spanish screen is stated as on an English one, and read in the reader\'s language', async () => {
    const context = await opened('touch', { language: 'es' });
    const page = await context.newPage();
    await page.goto(`${base}/station?at=ST12`);
    await page.getByLabel('Credencial').fill('badge-7');
    await page.getByLabel('Credencial').blur();
    await page.getByRole('button', { name: 'Parar la estación' }).click();
    await page.getByRole('button', { name: 'Sin electricidad' }).click();
    await page.getByText('La estación está parada: Sin electricidad').waitFor();
    await expect.poll(async () => (await house.app.actions.snapshot('P')).stops.map(({ reason }) => reason), { timeout: 10_000 }).toContain('Power lost');
    await page.goto(`${base}/holds`);
    await page.getByText('Falta una pieza').waitFor();
    await context.close();
  });
});

describe('the Station screen', () => {
  it('makes what stands in the way its biggest button', async () => {
    const context = await opened('touch');
    const held = await kiosk(context, base, 'ST10');
    await wearBadge(held, 'badge-7');
    expect(await held.locator('sh-station-screen button.main').innerText()).toContain('Clear hold');
    await accessible(held);
    await held.locator('sh-station-screen button.main').click();
    await held.locator('sh-station-screen button.main', { hasText: 'Finish' }).waitFor();
    const stopped = await kiosk(context, base, 'ST11');
    expect(await stopped.locator('sh-station-screen button.main').innerText()).toContain('Clear stop');
    expect((await overflow(stopped)).below).toBeLessThanOrEqual(0);
    await context.close();
  });
});
