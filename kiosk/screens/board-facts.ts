import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { Line } from '../../server/core/setup/plant.ts';
import type { Instant, Minutes } from '../../server/core/units.ts';
import { crewOf } from '../data/crew-now.ts';
import { minutesNow } from '../data/visit-now.ts';
import type { StateName } from '../styles/states.ts';
import { heads } from '../words/heads.ts';

/** Standard minutes of a line's station: the mean over the models whose route has it, 0 where none has. */
export function standardOf(snapshot: Snapshot, station: string): Minutes {
  const minutes = snapshot.plant.models.map((model) => model.standards[station]).filter((value) => value !== undefined);
  return minutes.length === 0 ? 0 : minutes.reduce((sum, value) => sum + value, 0) / minutes.length;
}

/** Work so far and standard of a unit's open visit at `now`. */
export function progressOf(snapshot: Snapshot, row: UnitRow, now: Instant): { work: Minutes; standard: Minutes } | null {
  const minutes = minutesNow(snapshot, row, now);
  return minutes && row.visit ? { work: minutes.work, standard: row.visit.standard } : null;
}

/** The state a unit is marked with: what its visit is spent on, or over standard while it works. */
export function stateOf(snapshot: Snapshot, row: UnitRow, now: Instant): StateName {
  if (row.state.stage === 'offLine') return 'offLine';
  const state = row.visit?.state;
  if (!state) return row.state.holds.length > 0 ? 'held' : 'none';
  if (state !== 'work') return state;
  const progress = progressOf(snapshot, row, now);
  return progress && progress.standard > 0 && progress.work > progress.standard ? 'overStandard' : 'work';
}

export interface Need {
  state: StateName;
  kind: 'stop' | 'hold' | 'over' | 'unknown' | 'flag' | 'crew';
  /** Serial, or null for a stop and a crew. */
  unit: string | null;
  where: string;
  /** The reason as the floor wrote it, a flag's code, the minutes over standard, or the heads that are missing. */
  detail: string;
}

/** What needs somebody, gravest first: stops, holds, over standard, short crews, unknown units, flags. */
export function needsOf(snapshot: Snapshot, now: Instant): Need[] {
  const stops = snapshot.stops.map((stop): Need =>
    ({ state: 'stopped', kind: 'stop', unit: null, where: stop.station, detail: stop.reason }));
  const of = (build: (row: UnitRow, where: string, unit: string) => Need[]): Need[] =>
    snapshot.units.flatMap((row) => build(row, row.state.place?.station ?? '', row.state.unit));
  return [
    ...stops,
    ...of((row, where, unit) => row.state.holds.map((hold) => ({ state: 'held', kind: 'hold', unit, where, detail: hold.reason }))),
    ...of((row, where, unit) => {
      const progress = progressOf(snapshot, row, now);
      if (!progress || stateOf(snapshot, row, now) !== 'overStandard') return [];
      return [{ state: 'overStandard', kind: 'over', unit, where, detail: String(Math.round(progress.work - progress.standard)) }];
    }),
    ...shortCrews(snapshot, now),
    ...of((row, where, unit) => (row.state.known ? [] : [{ state: 'flagged', kind: 'unknown', unit, where, detail: '' }])),
    ...of((row, where, unit) => row.flags.map((flag) => ({ state: 'flagged', kind: 'flag', unit, where, detail: flag.code }))),
  ];
}

function shortCrews(snapshot: Snapshot, now: Instant): Need[] {
  return snapshot.stations.flatMap(({ station }) => {
    const short = crewOf(snapshot, station, now)?.short ?? 0;
    return short > 0 ? [{ state: 'shortCrew', kind: 'crew', unit: null, where: station, detail: heads(short) }] : [];
  });
}

/** Hall of a place, with its floor where the hall has more than one. */
export function areaOf(snapshot: Snapshot, place: Line['stations'][number]): string {
  const hall = snapshot.plant.halls.find((candidate) => candidate.code === place.hall);
  const floor = hall && hall.floors.length > 1 ? hall.floors.find((candidate) => candidate.code === place.floor) : undefined;
  return [hall?.name ?? place.hall, floor?.name].filter(Boolean).join(', ');
}
