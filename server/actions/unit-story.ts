import { StationhandError } from '../contract/errors.ts';
import type { UnitReply } from '../contract/replies.ts';
import { effectiveFacts } from '../core/facts/voids.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Flag } from '../core/facts/flag.ts';
import { deriveVisits } from '../core/timeline/derive-visits.ts';
import { fullArrivals, scansOutsideWorkingTime } from '../core/timeline/line-flags.ts';
import { occupancyOf } from '../core/timeline/occupancy.ts';
import type { Visit } from '../core/timeline/visit.ts';
import type { Instant } from '../core/units.ts';
import { manufacturedAt, unitRow } from './build-snapshot.ts';
import { lineHistoryBetween } from './line-history.ts';
import { lineNow } from './line-now.ts';
import type { PlantMemory } from './plant-memory.ts';

/** The whole story of a unit as known at `at`. Throws `unknownUnit` for a serial that no fact names. */
export function unitStory(memory: PlantMemory, unit: string, at: Instant): UnitReply {
  const folded = memory.units.get(unit);
  const plant = setupAt(memory.setups, at)?.plant;
  if (!folded || !plant) throw new StationhandError('unknownUnit', { what: `The plant has no unit ${unit}.` });
  const { state, history, flags } = folded;
  const facts = memory.factsOf(unit);
  const notes = new Map<string, { note: string; reason: string }>();
  for (const fact of facts) if (fact.kind === 'openHold') notes.set(fact.id, fact);
  const counting = effectiveFacts(facts);
  const pulled = counting.filter((fact) => fact.kind === 'pullOff');
  const onLines = toldByLines(memory, unit, at);
  const outside = scansOutsideWorkingTime(unit, counting, memory.setups, (line, station) => memory.workingTime(line, station));
  const late = state.shipped === null && state.cancelled === null
    ? unitRow(memory, plant, folded, new Map(plant.lines.map((line) => [line.code, lineNow(memory, line.code, at)])), at).late
    : null;
  return {
    state, facts, flags: [...flags, ...onLines.flags, ...outside], late, visits: onLines.visits, manufactured: manufacturedAt(memory, plant, folded),
    holds: history.holds.map(({ id, reason, opened, cleared }) => ({ id, reason, note: notes.get(id)?.note ?? '', from: opened, to: cleared })),
    offLine: history.offLine.map(({ from, to }) => ({ from, to, reason: pulled.find((fact) => fact.happened === from)?.reason ?? '' })),
  };
}

/** The unit's visits, and where it found no free place, on every line it was on; each line derived over the time the unit spent there. */
function toldByLines(memory: PlantMemory, unit: string, at: Instant): { visits: Visit[]; flags: Flag[] } {
  const stays = memory.units.get(unit)?.history.stays ?? [];
  const visits: Visit[] = [];
  const flags: Flag[] = [];
  for (const line of new Set(stays.map((stay) => stay.line))) {
    const own = stays.filter((stay) => stay.line === line);
    const from = Math.min(...own.map((stay) => stay.arrived));
    const to = Math.max(...own.map((stay) => stay.left ?? at));
    const history = lineHistoryBetween(memory, line, from, to);
    visits.push(...deriveVisits(history, at).filter((visit) => visit.unit === unit));
    flags.push(...fullArrivals(occupancyOf(history, at)).filter((flag) => flag.unit === unit));
  }
  return { visits, flags };
}
