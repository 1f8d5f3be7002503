import type { BrowserContext, Page } from 'playwright-core';

/** Waits until the page's program is kept on the device, as its next start without a network needs it. */
export async function programKept(page: Page): Promise<void> {
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
}

/** Addresses of everything that the device's caches hold. */
export function cachedAddresses(page: Page): Promise<string[]> {
  return page.evaluate(async () => {
    const all = await Promise.all((await caches.keys()).map(async (name) => (await caches.open(name)).keys()));
    return all.flat().map(({ url }) => new URL(url).pathname);
  });
}

/** Facts on the device's disk, as they stand there. */
export function onDisk(page: Page): Promise<{ counter: number; version: number | null; refused: string | null; unsure?: number; fact: { id: string; kind: string; happened: number; corrected?: number } }[]> {
  return page.evaluate(() => new Promise((resolve, reject) => {
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
}

/** Keeps facts from leaving the device while the rest of the network works; returns what lets them go. */
export async function holdFactsBack(context: BrowserContext): Promise<() => Promise<void>> {
  await context.route('**/facts', (route) => route.abort());
  return async () => {
    await context.unroute('**/facts');
    // As when a network comes back: the outbox does not sit out its longest wait.
    await Promise.all(context.pages().map((page) => page.evaluate(() => dispatchEvent(new Event('online')))));
  };
}

/** Takes what room the browser leaves the page, down to the last hundred bytes. */
export function fillDisk(page: Page): Promise<void> {
  return page.evaluate(async () => {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const opening = indexedDB.open('filling');
      opening.onupgradeneeded = () => void opening.result.createObjectStore('junk', { autoIncrement: true });
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
    const put = (bytes: number): Promise<boolean> => new Promise((resolve) => {
      const writing = database.transaction('junk', 'readwrite');
      writing.oncomplete = () => resolve(true);
      writing.onabort = () => resolve(false);
      writing.objectStore('junk').add(crypto.getRandomValues(new Uint8Array(Math.min(bytes, 65_536))));
    });
    for (let bytes = 65_536; bytes >= 100;) if (!(await put(bytes))) bytes /= 2;
    database.close();
  });
}

/** Takes away what `fillDisk` put there, and waits until the browser counts it as gone. */
export async function makeRoom(page: Page): Promise<void> {
  await page.evaluate(() => new Promise((resolve, reject) => {
    const deleting = indexedDB.deleteDatabase('filling');
    deleting.onsuccess = resolve;
    deleting.onerror = () => reject(deleting.error);
  }));
  await page.waitForFunction(async () => {
    const { quota = 0, usage = 0 } = await navigator.storage.estimate();
    return quota - usage > 1_000_000;
  });
}
