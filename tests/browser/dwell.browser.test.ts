import { readFile } from 'node:fs/promises';
import { parse } from 'csv-parse/sync';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BY, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { floorWeeks } from '../support/floor-weeks.ts';
import { readXlsx } from '../support/read-xlsx.ts';
import { accessible, deskContext } from './kiosk-page.ts';

const SIZES = { TV: [1920, 1080], tablet: [1024, 768], laptop: [1366, 768], phone: [390, 844] } as const;
const PERIOD = 'from=2026-06-01&to=2026-06-21';

let house: TestHouse;
let browser: Browser;
let base: string;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  const facts = wire(floorWeeks(21));
  for (let i = 0; i < facts.length; i += 500) await house.app.actions.recordFacts('P', facts.slice(i, i + 500));
  base = `${await house.listen()}/P`;
});

afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function opened(size: keyof typeof SIZES, path: string, more: { language?: string; theme?: string } = {}): Promise<{ context: BrowserContext; page: Page }> {
  const [width, height] = SIZES[size];
  const context = await deskContext(browser, house, { viewport: { width, height }, acceptDownloads: true });
  await context.addInitScript(`localStorage.getItem('stationhand-language') ?? localStorage.setItem('stationhand-language', '${more.language ?? 'en'}');
    localStorage.getItem('stationhand-theme') ?? localStorage.setItem('stationhand-theme', '${more.theme ?? 'light'}');`);
  const page = await context.newPage();
  await page.goto(`${base}/${path}`);
  return { context, page };
}

const beyond = (page: Page): Promise<number> => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
const cells = (page: Page, row: string): Promise<string[][]> => page.locator(row).evaluateAll((rows) =>
  rows.map((one) => [...one.querySelectorAll<HTMLElement>('th, td')].map((cell) => cell.innerText.trim())));
const told = (page: Page): Promise<void> => page.locator('main h1 b, main h1').first().waitFor();

async function file(page: Page, name: 'CSV' | 'Excel'): Promise<Buffer> {
  const [download] = await Promise.all([page.waitForEvent('download'), page.locator('.filters').first().getByRole('button', { name }).click()]);
  return readFile((await download.path())!);
}

describe('dwell and delay', () => {
  it('tells line delay shift by shift, weeks as the sum of their shifts, and leads to the summary of each', async () => {
    const { context, page } = await opened('laptop', `dwell?${PERIOD}`);
    const part = page.locator('sh-delay-days');
    await part.locator('tr.sum').first().waitFor();
    const minutes = (row: string): Promise<number[]> => part.locator(row).evaluateAll((rows) => rows.map((one) => Number(one.querySelector('td.number')!.textContent!.replaceAll(',', ''))));
    const [weeks, shifts] = [await minutes('tr.sum'), await minutes('tr:not(.sum):has(a)')];
    const total = Number(/Line delay (-?[\d,]+) min/.exec(await page.locator('main h1').first().innerText())![1]!.replaceAll(',', ''));
    // Each figure is rounded by itself.
    expect(Math.abs(weeks.reduce((sum, n) => sum + n, 0) - total)).toBeLessThanOrEqual(weeks.length);
    expect(Math.abs(shifts.reduce((sum, n) => sum + n, 0) - total)).toBeLessThanOrEqual(shifts.length);
    const [download] = await Promise.all([page.waitForEvent('download'), part.getByRole('button', { name: 'CSV' }).click()]);
    const file = parse(await readFile((await download.path())!, 'utf8'), { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    expect(file.map(({ line_delay: minutesOf }) => Math.round(Number(minutesOf)))).toEqual(shifts.map(Math.round));
    await part.getByRole('link').first().click();
    await page.locator('sh-summary-screen h1').waitFor();
    await context.close();
  });

  it.each([['laptop', 'en', 'light'], ['TV', 'es', 'dark'], ['tablet', 'en', 'dark'], ['phone', 'es', 'light']] as const)('fits the %s and breaks nothing of WCAG 2.2 AA (%s, %s)', async (size, language, theme) => {
    const short = 'from=2026-06-01&to=2026-06-03';
    for (const path of [`dwell?${PERIOD}`, `dwell?show=visits&of=lineDelay&${short}`, `scans?${PERIOD}`, `scans?show=marks&${short}`]) {
      const { context, page } = await opened(size, path, { language, theme });
      await page.locator('main tbody tr').first().waitFor();
      expect([path, await beyond(page)]).toEqual([path, expect.toSatisfy((right: number) => right <= 0)]);
      await accessible(page);
      await context.close();
    }
  });

  it('shows station delay beside line delay, and the files hold the figures shown', async () => {
    const { context, page } = await opened('laptop', `dwell?${PERIOD}&sort=stationDelay`);
    await told(page);
    const shown = (await cells(page, 'sh-dwell-screen tbody tr.row')).map((row) => [row[0], row[2], row[3], row[4], row[5], row[6]]);
    const rows = parse(await file(page, 'CSV'), { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    const whole = (name: string, row: Record<string, string>): string => (Math.round(Number(row[name])) || 0).toLocaleString('en-US');
    expect(rows.map((row) => [row['station'] || 'No one station', row['dwell_p50'] === '' ? '' : Number(row['dwell_p50']).toFixed(1), row['visits'], row['station_delay_sum'] === '' ? '' : whole('station_delay_sum', row), whole('line_delay', row), row['blocked_sum'] === '' ? '' : whole('blocked_sum', row)])).toEqual(shown);
    const sheet = readXlsx(await file(page, 'Excel'));
    expect([sheet.name, sheet.rows.length]).toEqual(['Dwell and delay', rows.length + 1]);
    await context.close();
  });

  it('keeps period, grouping, order and filter in the address', async () => {
    const { context, page } = await opened('laptop', `dwell?${PERIOD}`);
    await told(page);
    const choose = (name: string, value: string) => page.getByRole('combobox', { name, exact: true }).selectOption(value);
    await choose('Tell apart by', 'Station and week');
    await choose('Sort by', 'Station delay');
    await choose('Station', 'S1');
    await choose('Mean of', 'Station delay');
    expect(Object.fromEntries(new URL(page.url()).searchParams)).toEqual({ from: '2026-06-01', to: '2026-06-21', by: 'station,week', sort: 'stationDelay', measure: 'stationDelay', station: 'S1' });
    await page.reload();
    await expect.poll(() => cells(page, 'sh-dwell-screen tbody tr.row').then((rows) => rows.map(([name]) => name)), { timeout: 20_000 }).toEqual(['S1 · 2026-W23', 'S1 · 2026-W24', 'S1 · 2026-W25']);
    await choose('Station', '');
    await expect.poll(async () => {
      const delays = (await cells(page, 'sh-dwell-screen tbody tr.row')).map((row) => Number(row[4]!.replaceAll(',', '') || -1));
      return delays.length > 6 && delays.every((delay, i) => i === 0 || delay <= delays[i - 1]!);
    }, { timeout: 20_000 }).toBe(true);
    await choose('Period', 'This week');
    // No visit began this week, but the one that stayed at S3 since June runs over its standard all the time: the line is charged.
    await expect.poll(() => cells(page, 'sh-dwell-screen tbody tr.row').then((rows) => rows.map((row) => [row[0]!.split(' ')[0], row[3]])), { timeout: 20_000 }).toEqual([['S3', '0']]);
    expect(Object.fromEntries(new URL(page.url()).searchParams)).toEqual({ period: 'week', by: 'station,week', sort: 'stationDelay', measure: 'stationDelay' });
    await context.close();
  });

  it('leads from a cause and from a figure to its visits, and from a visit to its unit', async () => {
    const { context, page } = await opened('laptop', `dwell?${PERIOD}`);
    await told(page);
    await page.locator('tr.cause', { hasText: 'Part missing' }).getByRole('link').first().click();
    await page.getByText('21 visits').waitFor();
    const visits = await cells(page, 'sh-visits-list tr.visit');
    expect(visits.map((row) => row[6]!.includes('Part missing 7.0'))).toEqual(Array(21).fill(true));
    await page.getByRole('link', { name: 'Back to the report' }).click();
    await told(page);
    await page.locator('tr.row', { hasText: 'S2' }).getByRole('link', { name: '21 not scanned' }).click();
    await page.getByText('21 visits').waitFor();
    await page.locator('sh-visits-list tr.visit a').first().click();
    await page.locator('sh-unit-screen h1', { hasText: 'W102' }).waitFor();
    await context.close();
  });

  it('draws the trend and the constraint with words beside them', async () => {
    const { context, page } = await opened('laptop', `dwell?${PERIOD}`);
    await told(page);
    expect((await cells(page, 'tr.week')).map(([week, mean]) => [week, mean])).toEqual([['2026-W23', expect.any(String)], ['2026-W24', expect.any(String)], ['2026-W25', expect.any(String)]]);
    await page.getByRole('img', { name: /2026-W23 [\d.]+ inside/ }).waitFor();
    expect((await cells(page, 'tr.step')).map(([week]) => week)).toEqual(['2026-W23', '2026-W24', '2026-W25']);
    await page.getByRole('img', { name: /2026-W23: S\d/ }).waitFor();
    await page.getByRole('img', { name: /Dwell in minutes: .*Work [\d.]+, Held/ }).first().waitFor();
    await context.close();
  });

  it('says when nothing happened, and when the server is away, and goes on when it is back', async () => {
    const { context, page } = await opened('phone', 'dwell?from=2026-01-05&to=2026-01-09');
    await page.getByText('No visit began in this period.').waitFor();
    await accessible(page);
    await page.route('**/dwell?**', (route) => (route.request().resourceType() === 'document' ? route.continue() : route.abort()));
    await page.goto(`${base}/dwell?${PERIOD}`);
    await page.getByRole('alert').getByText('The server does not answer').first().waitFor();
    await accessible(page);
    await page.unroute('**/dwell?**');
    await page.locator('sh-dwell-screen tr.row').first().waitFor();
    await context.close();
  });
});

describe('scan habits', () => {
  it('say which station misses and backdates, and lead to the scans', async () => {
    const { context, page } = await opened('laptop', `scans?${PERIOD}`);
    await told(page);
    await page.getByRole('combobox', { name: 'Sort by' }).selectOption('Fewest good first');
    expect(new URL(page.url()).searchParams.get('sort')).toBe('worst');
    const [worst] = await cells(page, 'sh-scans-screen tr.habit');
    expect(worst![0]).toMatch(/^S2/);
    const rows = parse(await file(page, 'CSV'), { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    expect(worst!.slice(3)).toEqual(['scans', 'not_scanned', 'finish_assumed', 'bunched', 'told', 'recorded_late'].map((name) => Number(rows.find(({ station }) => station === 'S2')![name]).toLocaleString('en-US')));
    await page.locator('tr.habit', { hasText: 'S2' }).locator('td[data-head="Backdated"] a').click();
    await page.getByText('21 marks').waitFor();
    expect((await cells(page, 'tr.mark')).map((row) => [row[1], row[3]])).toEqual(Array(21).fill(['S2', 'Backdated']));
    await page.locator('tr.mark a').first().click();
    await page.locator('sh-unit-screen h1', { hasText: /W\d+/ }).waitFor();
    await context.close();
  });
});
