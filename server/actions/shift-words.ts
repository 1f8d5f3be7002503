import { type ActionRow, inDueOrder, isOverdue, type NoteRow, type ToldShift } from '../contract/shift-summary.ts';
import type { Shift } from '../core/calendar/shifts.ts';
import { workingTimeOf } from '../core/calendar/working-time.ts';
import type { LineAction } from '../core/facts/fold-places.ts';
import type { Line, Plant, Station } from '../core/setup/plant.ts';
import { crewAt } from '../core/timeline/crew.ts';
import type { Instant } from '../core/units.ts';
import type { PlantMemory } from './plant-memory.ts';
import { named } from './shift-open-items.ts';

/** Heads missing at the stations of the line at `at`, or when its shift ended, and what was lent to or by them in it. */
export function headsOf(memory: PlantMemory, plant: Plant, line: Line, shift: Shift, at: Instant): ToldShift['heads'] {
  const t = Math.min(at, shift.end - 1);
  const shiftOf = ({ code, calendar }: Station): Shift | null =>
    (calendar === null ? shift : workingTimeOf(memory.setups, { line: line.code, station: code }, memory.places.floorTime).shiftAt(t));
  const crews = line.stations.filter(({ plannedHeads }) => plannedHeads > 0)
    .map((station) => ({ station: named(plant, station.code), ...crewAt(station, memory.places.crew, shiftOf(station), t) }));
  const ours = (code: string | null): boolean => line.stations.some((station) => station.code === code);
  const loans = memory.places.crew.filter(({ kind, station, from, happened }) => kind === 'loan' && happened >= shift.start && happened <= t && (ours(station) || ours(from)));
  return {
    missing: crews.filter(({ short }) => short > 0).sort((a, b) => b.short - a.short), stations: crews.length, notStated: crews.filter(({ stated }) => !stated).length,
    loans: loans.map(({ station, from, heads, happened, until }) => ({ station: named(plant, station), from: from === null ? null : named(plant, from), heads, since: happened, until })),
  };
}

/** Notes of the line from the beginning of the shift before this one to `at`, newest first. */
export function notesOf(memory: PlantMemory, line: string, from: Instant, start: Instant, at: Instant): ToldShift['notes'] {
  return memory.places.notes.filter((note) => note.line === line && note.happened >= from && note.happened <= at)
    .map(({ id, text, who, happened }) => ({ id, text, who, happened, before: happened < start })).sort((a, b) => b.happened - a.happened);
}

/** Actions of the line that were open at `at`, and those closed from `start` on. */
export function actionsOf(memory: PlantMemory, line: string, start: Instant, at: Instant): Pick<ToldShift, 'carried' | 'closed'> {
  const told = memory.places.actions.filter((action) => action.line === line && action.opened <= at).map((action) => actionRow(action, at));
  return {
    carried: inDueOrder(told.filter(({ closed }) => closed === null)),
    closed: told.filter(({ closed }) => closed !== null && closed.at >= start).sort((a, b) => b.closed!.at - a.closed!.at),
  };
}

function actionRow({ id, what, owner, due, who, opened, closed, closing }: LineAction, at: Instant): ActionRow {
  const by = closed !== null && closed <= at ? closed : null;
  return { id, what, owner, due, overdue: isOverdue(due, by, at), who, opened, closed: by === null ? null : { at: by, who: closing?.who ?? '', note: closing?.note ?? '' } };
}
