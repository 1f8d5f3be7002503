import { projectLine, type ProjectedUnit } from '../core/delay/projection.ts';
import { deriveVisits } from '../core/timeline/derive-visits.ts';
import type { Visit } from '../core/timeline/visit.ts';
import type { Instant } from '../core/units.ts';
import { lineHistoryNow } from './line-history.ts';
import type { PlantMemory } from './plant-memory.ts';

/** A line as it stands at one instant: its open visits and the projection at standard, by unit. */
export interface LineNow {
  visits: Map<string, Visit>;
  projected: Map<string, ProjectedUnit>;
}

export function lineNow(memory: PlantMemory, line: string, at: Instant): LineNow {
  const history = lineHistoryNow(memory, line, at);
  const visits = deriveVisits(history, at);
  const open = visits.filter((visit) => visit.left === null && !visit.notScanned);
  return {
    visits: new Map(open.map((visit) => [visit.unit, visit])),
    projected: new Map(projectLine(history, visits, at).map((projected) => [projected.unit, projected])),
  };
}
