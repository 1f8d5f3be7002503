import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { certificate } from '../../server/tls/certificates.ts';
import { testHouse } from '../actions/house.ts';

it.each([[180, 'max-age=15552000'], [0, 'max-age=0'], [null, undefined]])('is said over https for so many days, and taken back by none: %s', async (hstsDays, header) => {
  const folder = await mkdtemp(join(tmpdir(), 'stationhand-hsts-'));
  const house = await testHouse(0, { hstsDays, certificate: await certificate({ from: 'own', names: [] }, folder, Date.now()) });
  try {
    for (const url of ['/health', '/api/me', '/nothing-here', '/api/plants']) {
      expect([url, (await house.app.fastify.inject({ url })).headers['strict-transport-security']]).toEqual([url, header]);
    }
  } finally {
    await house.close();
    await rm(folder, { recursive: true, force: true });
  }
});
