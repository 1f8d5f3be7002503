import { v7 } from 'uuid';
import { toWire } from '../../server/contract/fact-wire.ts';
import type { App, AppParts } from '../../server/app.ts';
import type { Fact, FactKind } from '../../server/core/facts/fact.ts';
import type { Plant } from '../../server/core/setup/plant.ts';
import { openHouse } from '../../server/open-house.ts';
import { type Db, openDatabase } from '../../server/store/database.ts';
import { doorOf, enter, type Entrance } from '../support/enter.ts';
import { freshDatabase } from '../support/database.ts';
import { aLine, aPlant, aStation, at } from '../support/given.ts';

export const BY = { who: 'office-1', device: 'desk-1' };

/** The program on a database of its own. */
export interface TestHouse {
  app: App;
  url: string;
  /** Its database, beside the program. */
  db: Db;
  /** The way in for people and kiosks, from the first administrator on. */
  enter(): Promise<Entrance>;
  /** Opens its door at a port that is free: the address of it. */
  listen(): Promise<string>;
  close(): Promise<void>;
}

/** `ahead`: milliseconds by which the clock of its machine is ahead of that of the kiosks'. `more`: what the program is put together with besides. */
export async function testHouse(ahead = 0, { log = () => {}, ...more }: Partial<AppParts> = {}): Promise<TestHouse> {
  const { url, drop } = await freshDatabase();
  const beside = openDatabase(url, () => {});
  const app = await openHouse(url, log, { clock: () => Date.now() + ahead, ...more });
  let entrance: Promise<Entrance> | null = null;
  const first = async (): Promise<Entrance> => enter(doorOf(app), (await app.actions.access.firstLink())!);
  return { app, url, db: beside.db, enter: () => (entrance ??= first()), listen: () => app.fastify.listen({ host: '127.0.0.1', port: 0 }), close: async () => {
    await app.close();
    await beside.close();
    await drop();
  } };
}

/** Three stations as ready, a line that rolls together, a feeder cell, inspection and a yard. */
export function wholePlant(more: Partial<Plant> = {}): Plant {
  const main = aLine([aStation('S1'), aStation('S2'), aStation('S3')]);
  const together = aLine([aStation('T1'), aStation('T2')], { code: 'ROLL', name: 'Rolling', roll: 'together' });
  const feeder = aLine([aStation('F1')], { code: 'FEED', name: 'Feeder', purpose: 'feeder' });
  const check = aLine([aStation('I1', { kind: 'check' })], { code: 'INSP', name: 'Inspection', purpose: 'inspection' });
  return aPlant(main, { S1: 25, S2: 30, S3: 20, T1: 10, T2: 10, F1: 15, I1: 5 }, { lines: [main, together, feeder, check], ...more });
}

type Own<K extends FactKind> = Parameters<typeof at<K>>[2];

/** A fact with an id as a client makes it. */
export function stated<K extends FactKind>(m: number, kind: K, own: Own<K>, base: Parameters<typeof at<K>>[3] = {}): Extract<Fact, { kind: K }> {
  return at(m, kind, own, { id: v7(), ...base });
}

export const wire = (facts: readonly Fact[]): unknown[] => facts.map(toWire);

export function register(unit: string, more: Partial<Own<'register'>> = {}): Fact {
  const own = { unit, model: 'M', options: [], order: 'SO-1', dealer: 'Dealer 01', sequence: 1, plannedRelease: null, wish: null, promise: '2026-06-05' };
  return stated(-1_000, 'register', { ...own, ...more });
}
