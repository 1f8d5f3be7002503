import { sql } from 'kysely';
import type { Db } from '../database.ts';

const iso = (t: number): string => new Date(t).toISOString();

/**
 * The latest visits at each station of `lines` that ended since `since`, at most `most` a station: the text of a JSON list of the core's `RecentVisit`, put
 * together by the database and read by the thread that needs it, so that the program's one thread only passes it on.
 */
export async function recentVisitsText(db: Db, plant: string, lines: readonly string[], since: number, most: number): Promise<string> {
  const { rows } = await sql<{ visits: string }>`
    select coalesce(json_agg(json_build_object('unit', unit, 'station', station, 'notScanned', false, 'arrived', (extract(epoch from arrived) * 1000)::bigint, 'left', (extract(epoch from departed) * 1000)::bigint,
      'finished', (extract(epoch from finished) * 1000)::bigint, 'leftHow', left_how, 'standard', standard, 'dwell', dwell, 'causes', causes,
      'minutes', json_build_object('held', held, 'blocked', blocked, 'rollLag', roll_lag, 'stopped', stopped, 'work', work))), '[]')::text as visits
    from (select *, row_number() over (partition by station order by departed desc) as n from visits
      where plant = ${plant} and line = any(${[...lines]}) and departed >= ${iso(since)}) as latest
    where n <= ${most}`.execute(db);
  return rows[0]!.visits;
}
