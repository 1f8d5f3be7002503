import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BY, register, testHouse, type TestHouse, wholePlant, wire } from '../actions/house.ts';
import { openBrowser } from '../support/browser.ts';
import { accessible } from './kiosk-page.ts';

const PASSWORD = 'a phrase of the first day';
let house: TestHouse;
let browser: Browser;
let base: string;
let office: Page;
let kiosk: Page;

beforeAll(async () => {
  house = await testHouse();
  browser = await openBrowser();
  await house.app.actions.loadPlant(wholePlant(), 0, BY);
  await house.app.actions.recordFacts('P', wire([register('CF1')]));
  base = await house.listen();
  office = await (await browser.newContext({ viewport: { width: 1_366, height: 768 }, locale: 'en-US' })).newPage();
  kiosk = await (await browser.newContext({ viewport: { width: 1_280, height: 800 }, locale: 'en-US' })).newPage();
});
afterAll(async () => {
  await browser?.close();
  await house?.close();
});

async function signIn(page: Page, login: string, password: string): Promise<void> {
  await page.getByLabel('Name', { exact: true }).fill(login);
  await page.getByLabel('Password', { exact: true }).fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
}

it('lets the first administrator in by the one-time link, and by it once', async () => {
  const token = await house.app.actions.access.firstLink();
  const choose = async (): Promise<void> => {
    await office.goto('about:blank');
    await office.goto(`${base}/link#${token}`);
    await office.getByLabel(/New password/).fill(PASSWORD);
    await office.getByLabel(/first administrator/).fill('chief');
    await office.getByRole('button', { name: 'Set password' }).click();
  };
  await choose();
  await office.getByText('The password is set. Sign in as chief.').waitFor();
  await accessible(office);
  await choose();
  await office.getByRole('alert').waitFor();
  await office.goto(`${base}/P/people`);
  await signIn(office, 'chief', 'not the password');
  await office.getByRole('alert').waitFor();
  await signIn(office, 'chief', PASSWORD);
  await office.getByRole('heading', { name: 'People' }).waitFor();
});

it('adds a person with a badge, roles and a language', async () => {
  await office.getByRole('button', { name: 'Add a person' }).click();
  await office.getByLabel('Name', { exact: true }).fill('Marisol, second shift');
  await office.getByLabel('Badge', { exact: true }).fill('M77');
  await office.getByLabel('Language').selectOption('es');
  await office.getByLabel('Lead', { exact: true }).check();
  await accessible(office);
  await office.getByRole('button', { name: 'Save' }).click();
  await office.getByText('Saved: Marisol, second shift').waitFor();
  await office.getByText('Badge M77').waitFor();
});

it('pairs a kiosk by a code, which then speaks the language of whoever wears the badge', async () => {
  await office.goto(`${base}/P/devices`);
  await office.getByText('No kiosk is paired with this plant.').waitFor();
  await office.getByLabel('Name of the kiosk').fill('At the first station');
  await office.getByRole('button', { name: 'Show a pairing code' }).click();
  const code = await office.locator('.code').innerText();
  await accessible(office);
  await kiosk.goto(`${base}/P/station?at=S1`);
  await kiosk.getByLabel('Code that a supervisor shows').fill(code);
  await kiosk.getByRole('button', { name: 'Pair', exact: true }).click();
  await kiosk.getByRole('heading', { name: /S1/ }).waitFor();
  await office.getByText('At the first station').waitFor();
  await kiosk.getByLabel('Badge').fill('M77');
  await kiosk.getByLabel('Badge').blur();
  await kiosk.getByLabel('Credencial').waitFor();
  await kiosk.getByRole('button', { name: /Llega/ }).first().click();
  await expect.poll(async () => (await house.app.actions.unitStory('P', 'CF1')).state.place?.station).toBe('S1');
});

it('revokes the kiosk, which says so and keeps what is not sent', async () => {
  await office.getByRole('button', { name: 'Revoke: At the first station' }).click();
  await office.getByRole('button', { name: 'Revoke At the first station now' }).click();
  await office.getByText(/Revoked \d/).waitFor();
  await kiosk.getByRole('alert').getByText(/El servidor ya no/).waitFor({ timeout: 20_000 });
  await kiosk.reload();
  await kiosk.getByRole('heading', { name: 'Iniciar sesión' }).waitFor();
  await accessible(kiosk);
});

it('writes all of it to the audit trail, and shows it to administrators alone', async () => {
  await office.goto(`${base}/P/audit`);
  for (const what of ['Kiosk paired', 'Signed in']) await office.getByRole('cell', { name: what }).first().waitFor();
  await accessible(office);
  await office.getByRole('button', { name: 'Sign out' }).click();
  await office.getByLabel('Password', { exact: true }).waitFor();
});
