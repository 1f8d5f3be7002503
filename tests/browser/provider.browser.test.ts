import { createServer, type AddressInfo } from 'node:net';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, testHouse, type TestHouse, wholePlant } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { openidProvider, type TestProvider } from '../support/openid-provider.ts';
import { accessible, contextOf } from './kiosk-page.ts';

let house: TestHouse;
let provider: TestProvider;
let browser: Browser;
let base: string;

/** A port that nobody listens at: the provider is told the program's address before there is one. */
function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address() as AddressInfo;
      server.close(() => resolve(port));
    });
  });
}

beforeAll(async () => {
  const port = await freePort();
  // To a browser localhost and 127.0.0.1 are two sites: strict cookies stay behind on the way from one to the other.
  base = `http://localhost:${port}`;
  const client = { id: 'stationhand', secret: 'a secret of the tests, long enough', redirect: `${base}/api/oidc/callback` };
  provider = await openidProvider([client], { known: { preferred_username: 'office-1' }, stranger: { preferred_username: 'stranger' } });
  house = await testHouse(0, { provider: { issuer: provider.issuer, clientId: client.id, clientSecret: client.secret, name: 'Plant ID', publicUrl: base } });
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  await (await house.enter()).person('office-1', ['administrator'], ['P']);
  await house.app.fastify.listen({ host: '127.0.0.1', port });
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
  await provider?.close();
});

const goTo = async (page: Page, name: string | RegExp): Promise<void> => page.getByRole('button', { name }).click();

it('signs in at the provider and leads back to where the person was', async () => {
  const page = await (await browser.newContext({ locale: 'en-US' })).newPage();
  provider.signsIn('known');
  await page.goto(`${base}/P/people`);
  await page.getByRole('button', { name: 'Sign in with Plant ID' }).waitFor();
  await accessible(page);
  await goTo(page, 'Sign in with Plant ID');
  await page.getByRole('heading', { name: 'People' }).waitFor();
  expect(new URL(page.url()).pathname).toBe('/P/people');
});

it('says in the reader\'s language who is not known here, and that the provider is away', async () => {
  const context = await browser.newContext({ locale: 'es-MX' });
  await context.addInitScript(`localStorage.setItem('stationhand-language', 'es')`);
  const page = await context.newPage();
  provider.signsIn('stranger');
  await page.goto(`${base}/P/board`);
  await goTo(page, 'Iniciar sesión con Plant ID');
  await page.getByRole('alert').getByText(/Inició sesión con Plant ID, pero aquí no se conoce a nadie/).waitFor();
  expect(new URL(page.url()).search).toBe('');
  await accessible(page);
  await page.goto(`${base}/sign-in?provider=providerAway`);
  await page.getByRole('alert').getByText('Plant ID no responde.').waitFor();
});

it('keeps a paired kiosk the kiosk it is', async () => {
  const entered = await (await house.enter()).kiosk('lead-1');
  const context = await contextOf(browser, entered, base, { locale: 'en-US' });
  const page = await context.newPage();
  provider.signsIn('known');
  await page.goto(`${base}/sign-in?to=/P/station`);
  await goTo(page, 'Sign in with Plant ID');
  await page.waitForURL(`${base}/P/station`);
  const me = await page.evaluate(async () => (await fetch('/api/me')).json() as Promise<unknown>);
  expect(me).toMatchObject({ device: { code: entered.device, plant: 'P' }, person: { badge: 'office-1', how: 'provider' } });
});
