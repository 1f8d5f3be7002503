import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { findBrowser } from '../support/browser.ts';
import { cookiesOf, type Entered } from '../support/enter.ts';

const LONGEST_START_MS = 30_000;
const LONGEST_ANSWER_MS = 20_000;
const LONGEST_FAREWELL_MS = 3_000;
export const BADGE = 'badge-7';
const ARGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--disable-dev-shm-usage'];

/** A kiosk: a browser in a process and with a disk of its own, with one tab a station. */
export class Device {
  private process: ChildProcess | null = null;
  private booting: Promise<void> | null = null;
  private browser: Browser | null = null;
  private context: BrowserContext | null = null;
  private readonly tabs = new Map<string, Page>();
  /** Raised with each death. */
  deaths = 0;
  private readonly mourners = new Set<(error: Error) => void>();

  private constructor(private readonly disk: string, private readonly base: string, readonly stations: readonly string[], private readonly paired: Entered) {}

  static async start(base: string, stations: readonly string[], paired: Entered): Promise<Device> {
    const device = new Device(await mkdtemp(join(tmpdir(), 'stationhand-kiosk-')), base, stations, paired);
    await device.boot();
    return device;
  }

  /** As a power cut ends the browser: no word to anybody. What it had written stays. */
  async cutPower(): Promise<void> {
    this.died();
    // One that is only starting is ended when it has started: none is left over.
    await this.booting?.catch(() => {});
    const dying = this.process;
    this.tabs.clear();
    if (!dying || dying.exitCode !== null || dying.signalCode !== null) return;
    const gone = once(dying, 'exit');
    // The browser and every process it has started, at one stroke.
    process.kill(-dying.pid!, 'SIGKILL');
    await gone;
    await orGivenUp(this.browser?.close());
  }

  /** Ends every tab in the middle of what it does; the browser stays. */
  async endTabs(): Promise<void> {
    this.died();
    const dying = [...this.tabs.values()];
    this.tabs.clear();
    await Promise.all(dying.map((page) => orGivenUp(page.close({ runBeforeUnload: false }))));
  }

  /** The tab of `station`, opened when there is none: from the network or from what the device keeps. */
  tab(station: string): Promise<Page> {
    return this.whileAlive(this.openTab(station));
  }

  /** What `work` comes to, or an error when the device or its tabs die first: a dead tab may never answer. */
  whileAlive<T>(work: Promise<T>): Promise<T> {
    return new Promise((resolve, reject) => {
      this.mourners.add(reject);
      work.then(resolve, reject).finally(() => this.mourners.delete(reject));
    });
  }

  private died(): void {
    this.deaths++;
    for (const reject of this.mourners) reject(new Error('It died in the middle of that.'));
    this.mourners.clear();
  }

  private async openTab(station: string): Promise<Page> {
    const open = this.tabs.get(station);
    if (open && !open.isClosed()) return open;
    this.booting ??= this.process && this.process.exitCode === null && this.process.signalCode === null ? null : this.boot().finally(() => (this.booting = null));
    await this.booting;
    const page = await this.context!.newPage();
    this.tabs.set(station, page);
    const said: string[] = [];
    page.on('console', (message) => said.push(message.text()));
    page.on('pageerror', (error) => said.push(String(error)));
    await page.goto(`${this.base}/station?at=${station}`);
    await page.locator('sh-station-screen .badge').waitFor({ timeout: LONGEST_START_MS }).catch(async (error: unknown) => {
      throw new Error(`The Station screen of ${station} does not open; it shows "${await page.locator('body').innerText()}" and says: ${said.join('; ')}`, { cause: error });
    });
    // What the browser had not written when the power went is scanned again, as a lead does it.
    if (await page.evaluate(() => !localStorage.getItem('stationhand-who'))) {
      await typeFast(page, BADGE);
      await page.getByText(`Badge ${BADGE}`).waitFor();
    }
    return page;
  }

  /** Facts on the disk that are not acknowledged, and those that were refused. */
  async heldBack(): Promise<{ unsent: string[]; refused: string[] }> {
    const page = await this.tab(this.stations[0]!);
    const kept = await page.evaluate(() => new Promise<{ version: number | null; refused: string | null; fact: { id: string } }[]>((resolve, reject) => {
      const opening = indexedDB.open('stationhand');
      opening.onerror = () => reject(opening.error);
      opening.onsuccess = () => {
        const reading = opening.result.transaction('facts').objectStore('facts').getAll();
        reading.onsuccess = () => {
          opening.result.close();
          resolve(reading.result);
        };
      };
    }));
    const ids = (of: typeof kept): string[] => of.map(({ fact }) => fact.id);
    return { unsent: ids(kept.filter(({ version, refused }) => version === null && refused === null)), refused: ids(kept.filter(({ refused }) => refused !== null)) };
  }

  async hurry(): Promise<void> {
    await Promise.all([...this.tabs.values()].map((page) => page.evaluate(() => dispatchEvent(new Event('online'))).catch(() => {})));
  }

  async end(): Promise<void> {
    await this.cutPower();
    await rm(this.disk, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  }

  private async boot(): Promise<void> {
    const executable = findBrowser();
    if (!executable) throw new Error('The fault run needs Chromium: install it, or say where it is in CHROMIUM.');
    const portFile = join(this.disk, 'DevToolsActivePort');
    await rm(portFile, { force: true });
    this.process = spawn(executable, [...ARGS, `--user-data-dir=${this.disk}`, '--remote-debugging-port=0', 'about:blank'], { stdio: 'ignore', detached: true });
    const port = await waitFor(async () => (await readFile(portFile, 'utf8').catch(() => '')).split('\n')[0] || null, LONGEST_START_MS, 'the browser to start');
    this.browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
    this.context = this.browser.contexts()[0]!;
    // It was paired long before: a cookie that old is on its disk.
    await this.context.addCookies(cookiesOf(this.paired, this.base));
    await this.context.addInitScript(`localStorage.getItem('stationhand-device') ?? localStorage.setItem('stationhand-device', ${JSON.stringify(this.paired.device)})`);
  }
}

/** What a scan came to: the id of the fact that the screen said it heard, or null when the tab died first. */
export async function scanAt(device: Device, station: string, code: string): Promise<string | null> {
  const deaths = device.deaths;
  try {
    return await device.whileAlive(answerTo(await device.tab(station), code));
  } catch (error) {
    if (device.deaths > deaths) return null;
    throw error;
  }
}

async function answerTo(page: Page, code: string): Promise<string> {
  const answer = page.locator('sh-station-screen .answer[data-fact]');
  // Looked at in one stroke: the answer may be gone in the next, when a tab is slow to draw.
  const last = (): Promise<string | null> => answer.evaluateAll((all) => all[0]?.getAttribute('data-fact') ?? null);
  const before = await last();
  await typeFast(page, code);
  return waitFor(async () => {
    const now = await last();
    return now === before ? null : now;
  }, LONGEST_ANSWER_MS, `the answer to a scan of ${code}`);
}

/** What is asked of a browser that may be dead already. */
async function orGivenUp(work: Promise<unknown> | undefined): Promise<void> {
  await Promise.race([work?.catch(() => {}), new Promise((resolve) => setTimeout(resolve, LONGEST_FAREWELL_MS))]);
}

/** As a hand scanner types, faster than any person. */
async function typeFast(page: Page, code: string): Promise<void> {
  await page.evaluate((typed) => {
    for (const key of [...typed, 'Enter']) window.dispatchEvent(new KeyboardEvent('keydown', { key, cancelable: true }));
  }, code);
}

export async function waitFor<T>(look: () => Promise<T | null>, within: number, what: string): Promise<T> {
  const latest = performance.now() + within;
  for (;;) {
    const found = await look();
    if (found !== null) return found;
    if (performance.now() > latest) throw new Error(`Waited ${within} ms for ${what}.`);
    await new Promise((resolve) => setTimeout(resolve, 15));
  }
}
