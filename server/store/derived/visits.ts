import { sql } from 'kysely';
import type { EndedVisit } from '../../core/timeline/derive-visits.ts';
import type { LeftHow } from '../../core/timeline/line-history.ts';
import type { Visit } from '../../core/timeline/visit.ts';
import type { Db, Tx } from '../database.ts';
import { rowsFrom } from '../rows-from.ts';

const iso = (t: number): string => new Date(t).toISOString();

/** The visits of `line` that ended in [from, to) become `ended`; one that was told to have ended before `from` is moved. */
export async function replaceVisits(tx: Tx, plant: string, line: string, from: number, to: number, ended: readonly EndedVisit[]): Promise<void> {
  await tx.deleteFrom('visits').where('plant', '=', plant).where('line', '=', line)
    .where('departed', '>=', sql<number>`${iso(from)}::timestamptz`).where('departed', '<', sql<number>`${iso(to)}::timestamptz`).execute();
  if (ended.length === 0) return;
  const rows = ended.map(({ arrivedBy, visit }) => ({
    unit: visit.unit, arrived_by: arrivedBy, station: visit.station, arrived: iso(visit.arrived!), finished: visit.finished === null ? null : iso(visit.finished),
    finish_assumed: visit.finishAssumed, departed: iso(visit.left!), left_how: visit.leftHow, standard: visit.standard, ...minutesOf(visit), dwell: visit.dwell,
    elapsed: visit.elapsed, station_delay: visit.stationDelay, recovered: visit.recovered, causes: visit.causes,
  }));
  await sql`
    insert into visits (plant, line, unit, arrived_by, station, arrived, finished, finish_assumed, departed, left_how, standard, held, blocked, roll_lag, stopped, work,
      dwell, elapsed, station_delay, recovered, causes)
    select ${plant}, ${line}, unit, arrived_by, station, arrived, finished, finish_assumed, departed, left_how, standard, held, blocked, roll_lag, stopped, work,
      dwell, elapsed, station_delay, recovered, causes
    from ${rowsFrom(rows, {
      unit: 'text', arrived_by: 'uuid', station: 'text', arrived: 'timestamptz', finished: 'timestamptz', finish_assumed: 'boolean', departed: 'timestamptz', left_how: 'text',
      standard: 'float8', held: 'float8', blocked: 'float8', roll_lag: 'float8', stopped: 'float8', work: 'float8', dwell: 'float8', elapsed: 'float8',
      station_delay: 'float8', recovered: 'float8', causes: 'jsonb',
    })}
    on conflict (plant, line, unit, arrived_by) do update set station = excluded.station, arrived = excluded.arrived, finished = excluded.finished,
      finish_assumed = excluded.finish_assumed, departed = excluded.departed, left_how = excluded.left_how, standard = excluded.standard, held = excluded.held,
      blocked = excluded.blocked, roll_lag = excluded.roll_lag, stopped = excluded.stopped, work = excluded.work, dwell = excluded.dwell, elapsed = excluded.elapsed,
      station_delay = excluded.station_delay, recovered = excluded.recovered, causes = excluded.causes`.execute(tx);
}

function minutesOf({ minutes: { held, blocked, rollLag, stopped, work } }: Visit) {
  return { held, blocked, roll_lag: rollLag, stopped, work };
}

/** Visits of `line` that ended in [from, to), in order of arrival. */
export async function visitsEnded(db: Db, plant: string, line: string, from: number, to: number): Promise<Visit[]> {
  const rows = await ofLine(db, plant, line)
    .where('departed', '>=', sql<number>`${iso(from)}::timestamptz`).where('departed', '<', sql<number>`${iso(to)}::timestamptz`).execute();
  return rows.map((row) => visitOf(row, line));
}

/** Ended visits of `line` that reach into [from, to), in order of arrival. */
export async function visitsReaching(db: Db, plant: string, line: string, from: number, to: number): Promise<Visit[]> {
  const rows = await ofLine(db, plant, line)
    .where('departed', '>=', sql<number>`${iso(from)}::timestamptz`).where('arrived', '<', sql<number>`${iso(to)}::timestamptz`).execute();
  return rows.map((row) => visitOf(row, line));
}

const ofLine = (db: Db, plant: string, line: string) =>
  db.selectFrom('visits').where('plant', '=', plant).where('line', '=', line).selectAll().orderBy('arrived').orderBy('unit');

type VisitRow = Awaited<ReturnType<ReturnType<typeof ofLine>['execute']>>[number];

function visitOf(row: VisitRow, line: string): Visit {
  return {
    unit: row.unit, line, station: row.station, notScanned: false, arrived: row.arrived, finished: row.finished, finishAssumed: row.finish_assumed, left: row.departed,
    leftHow: row.left_how as LeftHow, provisional: false, standard: row.standard, dwell: row.dwell, elapsed: row.elapsed, stationDelay: row.station_delay,
    minutes: { held: row.held, blocked: row.blocked, rollLag: row.roll_lag, stopped: row.stopped, work: row.work }, recovered: row.recovered, state: null, causes: row.causes,
  };
}
