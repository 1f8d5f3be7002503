import { type ColumnType, type Generated, Kysely, PostgresDialect, type RawBuilder, sql, type Transaction } from 'kysely';
import pg from 'pg';
import type { Role, SignedInBy } from '../core/access/roles.ts';
import type { LineForecast } from '../core/forecast/line-forecast.ts';
import type { BriefState } from '../core/facts/brief-state.ts';
import type { Plant } from '../core/setup/plant.ts';
import type { Visit } from '../core/timeline/visit.ts';
import { PreparingClient } from './preparing-client.ts';

/** An instant: read as epoch milliseconds, written as ISO 8601. */
type Time = ColumnType<number, string, string>;
type NullableTime = ColumnType<number | null, string | null, string | null>;
type Json<T> = ColumnType<T, string, string>;

export interface Tables {
  plants: { code: string; name: string; next_seq: number; setup_version: number; derived_version: Generated<number> };
  setup_versions: {
    plant: string; version: number; seq: number; valid_from: Time; document: Json<Plant>; loaded_at: Time; who: string; device: string;
  };
  facts: {
    plant: string; id: string; month: string; seq: number; kind: string; unit: string | null; station: string | null; line: string | null;
    happened: Time; recorded: Time; told: boolean; who: string; device: string; counter: number; target: string | null; body: Json<Record<string, unknown>>;
  };
  whereabouts: {
    plant: string; unit: string; state: Json<BriefState>; line: string | null;
    last_happened: Time; last_counter: number; last_device: string; last_fact: string;
  };
  stays: {
    plant: string; unit: string; line: string; arrived_by: string; station: string; arrived: Time; finished: NullableTime; departed: NullableTime; left_how: string | null;
  };
  visits: {
    plant: string; line: string; unit: string; arrived_by: string; station: string; arrived: Time; finished: NullableTime; finish_assumed: boolean; departed: Time;
    left_how: string; standard: number; held: number; blocked: number; roll_lag: number; stopped: number; work: number; dwell: number; elapsed: number;
    station_delay: number; recovered: number; causes: Json<Visit['causes']>;
  };
  forecasts: { plant: string; line: string; made: Time; log_version: number; facts_at: NullableTime; seed: number; result: Json<LineForecast> };
  minutes_told: { plant: string; seq: number };
  photos: { plant: string; id: string; who: string; device: string; received: Time; width: number; height: number; bytes: Buffer };
  flags: { plant: string; fact: string; code: string; unit: string | null; station: string | null; detail: string };
  stops: { plant: string; id: string; station: string; reason: string; note: string; who: string; opened: Time; cleared: NullableTime };
  people: {
    id: string; login: string | null; name: string; language: 'en' | 'es'; password_hash: string | null; pin_hash: string | null;
    house_administrator: boolean; added_at: Time; left_at: NullableTime;
  };
  badges: { code: string; person: string; given_at: Time; ended_at: NullableTime };
  person_roles: { person: string; plant: string; role: Role; given_at: Time; ended_at: NullableTime };
  devices: {
    id: string; code: string; plant: string | null; name: string; stations: string[] | null; token_hash: Buffer;
    paired_at: Time; paired_by: string | null; revoked_at: NullableTime; revoked_by: string | null;
  };
  sessions: { token_hash: Buffer; person: string; device: string; how: SignedInBy; started_at: Time; seen_at: Time; expires_at: Time; ended_at: NullableTime };
  pairing_codes: { code_hash: Buffer; device_code: string | null; plant: string; name: string; stations: string[] | null; made_by: string; made_at: Time; expires_at: Time; used_at: NullableTime };
  one_time_links: { token_hash: Buffer; person: string | null; made_at: Time; expires_at: Time; used_at: NullableTime };
  provider_sign_ins: {
    token_hash: Buffer; state: string; nonce: string; code_verifier: string; device: string | null; code: string; ends: Buffer | null; expires_at: Time;
  };
  sign_in_failures: { key_hash: Buffer; failures: number; last_at: Time };
  audit_trail: {
    id: Generated<number>; at: Time; plant: string | null; what: string; person: string | null; who: string; device: string; source: string; detail: Json<Record<string, unknown>>;
  };
}

export type Db = Kysely<Tables>;
/** A query that must be part of a transaction takes one. */
export type Tx = Transaction<Tables>;

/** A source of one row with the plant's `code`, for an insertion. */
export const plantOf = (code: string): RawBuilder<unknown> => sql`(select ${code}::text as code) as plant`;

/** An instant as a query takes it. */
export const iso = (instant: number): string => new Date(instant).toISOString();

const INT8 = 20;
const TIMESTAMPTZ = 1184;
const DATE = 1082;

/** Whole numbers as numbers, instants as epoch milliseconds, dates as their text. */
const typeParsers: pg.CustomTypesConfig = {
  getTypeParser: (oid: number, format?: 'text' | 'binary') => {
    if (oid === INT8) return Number;
    if (oid === DATE) return (text: string) => text;
    if (oid === TIMESTAMPTZ) return (text: string) => (pg.types.getTypeParser(TIMESTAMPTZ, 'text')(text) as Date).getTime();
    return pg.types.getTypeParser(oid, format as 'text');
  },
};

export interface OpenedDatabase {
  db: Db;
  /** Ends every connection, once its query is done. */
  close(): Promise<void>;
}

/** A pool of connections to `url`. A connection that breaks is told to `log` and replaced at the next query. */
export function openDatabase(url: string, log: (message: string) => void, connections = 8): OpenedDatabase {
  const pool = new pg.Pool({ Client: PreparingClient, connectionString: url, max: connections, types: typeParsers, connectionTimeoutMillis: 10_000, keepAlive: true });
  pool.on('error', (error) => log(`a connection to the database broke: ${error.message}`));
  // Between two queries of a transaction a connection is out of the pool: without a listener of its own its error would end the program.
  pool.on('connect', (client) => client.on('error', () => {}));
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool }) });
  return { db, close: () => db.destroy() };
}
