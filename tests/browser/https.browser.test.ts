import { once } from 'node:events';
import { get } from 'node:https';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openBrowser } from '../support/browser.ts';
import { freshDatabase } from '../support/database.ts';
import { freePort, type ServerProcess, startServer } from '../support/server-process.ts';

let browser: Browser;
let server: ServerProcess;
let dataDir: string;
let database: Awaited<ReturnType<typeof freshDatabase>>;

beforeAll(async () => {
  [browser, dataDir, database] = await Promise.all([openBrowser(), mkdtemp(join(tmpdir(), 'stationhand-https-')), freshDatabase()]);
  server = await startServer(await freePort(), { HTTPS: 'own', TLS_NAMES: 'line.plant.example', DATA_DIR: dataDir, DATABASE_URL: database.url }, ['--empty']);
});

afterAll(async () => {
  await browser?.close();
  await server?.stop();
  await database?.drop();
  await rm(dataDir, { recursive: true, force: true });
});

/** What a device is answered that trusts `authority` and calls the program by `name`. */
async function asked(path: string, name: string, authority: string): Promise<{ status: number | undefined; body: string }> {
  const request = get({ host: '127.0.0.1', port: server.port, path, servername: name, headers: { host: name }, ca: authority, agent: false });
  const [reply] = await once(request, 'response');
  let body = '';
  for await (const part of reply.setEncoding('utf8')) body += part;
  return { status: reply.statusCode, body };
}

describe('the program with a certificate of its own', () => {
  it('is taken by a device that trusts its authority, which it hands out', async () => {
    const authority = await readFile(join(dataDir, 'tls', 'authority.crt'), 'utf8');
    expect(await asked('/health', 'line.plant.example', authority)).toMatchObject({ status: 200 });
    expect(await asked('/authority.crt', 'line.plant.example', authority)).toEqual({ status: 200, body: authority });
  });

  it('gives a tablet in the network what only https gives: pages kept for work without the network', async () => {
    const context = await browser.newContext({ ignoreHTTPSErrors: true });
    const page = await context.newPage();
    await page.goto(`https://127.0.0.1:${server.port}/`);
    await page.getByText('Stationhand').first().waitFor();
    expect(await page.evaluate(() => [isSecureContext, 'serviceWorker' in navigator])).toEqual([true, true]);
    await context.close();
  });
});
