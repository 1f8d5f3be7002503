import { mkdir, mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { openBrowser } from './browser.ts';
import { cookiesOf, type Entered } from './enter.ts';
import { freePort, startServer } from './server-process.ts';

const FOLDER = new URL('../../kiosk/pictures/', import.meta.url).pathname;
const LARGEST = 200_000;
const TV = { width: 1920, height: 1080 };
const LAPTOP = { width: 1366, height: 768 };
/** Image pixels for one of the page's. */
const SCALE = 0.7;

/** The README's pictures: the demo plant as it stands after its first start, drawn by the program itself. */
async function takePictures(): Promise<void> {
  const data = await mkdtemp(join(tmpdir(), 'stationhand-pictures-'));
  const server = await startServer(await freePort(), { DATA_DIR: data, DATABASE_URL: '' });
  const browser = await openBrowser();
  try {
    await server.says('goes on working');
    const { plant, entered } = await paired(server.port);
    const snapshot = await snapshotOf(server.port, plant, entered);
    await mkdir(FOLDER, { recursive: true });
    const picture = (name: string, path: string, size: typeof TV, shown?: string): Promise<void> => take(browser, entered, `http://127.0.0.1:${server.port}/${plant}${path}`, name, size, shown);
    await picture('line-board', '/board', TV);
    await picture('station', `/station?at=${tellingStation(snapshot)}`, LAPTOP);
    await picture('late-units', '/late', LAPTOP, 'svg.span');
    await picture('unit', `/unit/${tellingUnit(snapshot)}`, LAPTOP, 'sh-time-axis');
  } finally {
    await browser.close();
    await server.stop();
    await rm(data, { recursive: true, force: true });
  }
}

/** Pairs with the demo as a browser of this machine does by a touch. */
async function paired(port: number): Promise<{ plant: string; entered: Entered }> {
  const reply = await fetch(`http://127.0.0.1:${port}/api/pair-demo`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ device: 'picture' }) });
  const { code, plant } = (await reply.json()) as { code: string; plant: string };
  return { plant, entered: { headers: { cookie: reply.headers.getSetCookie().map((cookie) => cookie.split(';')[0]).join('; ') }, device: code, badge: '' } };
}

async function snapshotOf(port: number, plant: string, { headers }: Entered): Promise<Snapshot> {
  return (await (await fetch(`http://127.0.0.1:${port}/api/plants/${plant}/snapshot`, { headers })).json()) as Snapshot;
}

/** A station at which work goes on, most of it done. */
function tellingStation({ units }: Snapshot): string {
  const share = ({ visit }: UnitRow): number => (visit?.state === 'work' && visit.standard > 0 && visit.minutes.work < visit.standard ? visit.minutes.work / visit.standard : 0);
  return units.toSorted((a, b) => share(b) - share(a))[0]?.state.place?.station ?? '';
}

/** The unit on the main line that has come farthest, rather one that is late. */
function tellingUnit({ units }: Snapshot): string {
  const shown = units.filter(({ visit, state }) => visit && state.stage === 'onLine').toSorted((a, b) => (a.state.sequence ?? 0) - (b.state.sequence ?? 0));
  return (shown.find(({ late }) => late?.late) ?? shown[0])?.state.unit ?? '';
}

/** `shown`: the element without which the picture tells nothing; it is waited for, and brought into it. */
async function take(browser: Browser, entered: Entered, address: string, name: string, viewport: typeof TV, shown?: string): Promise<void> {
  const context = await browser.newContext({ viewport, deviceScaleFactor: SCALE, locale: 'en-US' });
  await context.addCookies(cookiesOf(entered, address));
  await context.addInitScript("localStorage.setItem('stationhand-who', 'badge-7')");
  const page = await context.newPage();
  await page.goto(address);
  await page.locator('main *').first().waitFor();
  // The page is drawn once the snapshot came and nothing more is fetched.
  await page.waitForFunction(() => document.querySelector('sh-app')?.shadowRoot?.querySelector('main > *')?.shadowRoot?.querySelector('[role="status"]:only-child') === null);
  if (shown) await page.locator(shown).first().evaluate((element) => element.getBoundingClientRect().bottom > innerHeight && (element.previousElementSibling ?? element).scrollIntoView(), null, { timeout: 120_000 });
  await page.waitForTimeout(1_000);
  const path = join(FOLDER, `${name}.png`);
  await page.screenshot({ path });
  await context.close();
  const { size } = await stat(path);
  if (size > LARGEST) throw new Error(`${name}.png has ${size} bytes, more than ${LARGEST}.`);
  console.log(`${name}.png ${size} bytes`);
}

await takePictures();
