import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const PLACES = ['/usr/bin/chromium-headless-shell', '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/** Where a browser is on this machine, or undefined. */
export function findBrowser(): string | undefined {
  return process.env['CHROMIUM'] || PLACES.find((place) => existsSync(place));
}

/** A real browser, started with `more` switches. Throws with what to do when this machine has none. */
export async function openBrowser(more: readonly string[] = []): Promise<Browser> {
  const executablePath = findBrowser();
  if (!executablePath) throw new Error('The browser tests need Chromium: install it, or say where it is in CHROMIUM.');
  return chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', ...more] });
}
