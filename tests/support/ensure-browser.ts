import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { findBrowser } from './browser.ts';

/** Before the browser tests: on Debian as root the browser is installed when there is none; elsewhere one line says what to do. */
const apt = (...args: string[]): number => spawnSync('apt-get', args, { stdio: ['ignore', 'ignore', 'inherit'], env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } }).status ?? 1;

if (!findBrowser()) {
  const mayInstall = existsSync('/etc/debian_version') && process.getuid?.() === 0;
  if (mayInstall) {
    console.log('The browser tests need Chromium: installing it.');
    apt('update');
    if (apt('install', '-y', '--no-install-recommends', 'chromium-headless-shell') !== 0) apt('install', '-y', '--no-install-recommends', 'chromium');
  }
  if (!findBrowser()) {
    console.error('The browser tests need Chromium: install it (on Debian: apt-get install chromium-headless-shell), or say where it is in CHROMIUM.');
    process.exit(1);
  }
}
