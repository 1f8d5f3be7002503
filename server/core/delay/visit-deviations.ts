import type { LineHistory } from '../timeline/line-history.ts';
import { leaveOf } from '../timeline/occupancy.ts';
import { aDeviation, type Deviation } from './deviation.ts';
import type { PeriodVisit, Taken } from './period-visits.ts';
import type { Plan, PlanUnit, Step } from './plan.ts';

/** What deviated in the visits of the period: holds, stops, closed stretches, and work over or under standard (definitions §5). */
export function visitDeviations(plan: Plan, history: LineHistory): Deviation[] {
  const causes = openCauses(plan, history);
  const told: Deviation[] = [];
  plan.units.forEach((unit) => {
    for (const i of unit.steps) {
      const step = plan.steps[i]!;
      if (step.visit) {
        addCauses(plan, causes, i, step.visit);
        told.push(...workDeviation(plan, unit, i, step, step.visit));
      } else if (!step.built && !unit.withdrawn) {
        // It passed the station without coming to it: none of its standard was worked there.
        const station = plan.line.stations[step.station]!.code;
        told.push(aDeviation({ kind: 'underStandard', unit: unit.of.unit, station, began: step.came, local: -step.standard, dropped: [i] }));
      }
    }
    if (unit.withdrawn) told.push(withdrawal(plan, unit));
  });
  return [...causes.values(), ...told];
}

/** Every hold and stop of the line's units and stations that was open in the period, whether it touched a visit or not. */
function openCauses({ line, period: { from, to }, units }: Plan, history: LineHistory): Map<string, Deviation> {
  const causes = new Map<string, Deviation>();
  const open = ({ opened, cleared }: { opened: number; cleared: number | null }): boolean => opened < to && (cleared === null || cleared > from);
  for (const { of } of units) {
    for (const hold of of.holds) {
      if (!open(hold) || hold.keepsFrom === 'shipping') continue;
      const station = of.stays.findLast((stay) => stay.line === line.code && stay.arrived <= hold.opened && leaveOf(stay) > hold.opened)?.station ?? null;
      causes.set(hold.id, aDeviation({ kind: 'hold', id: hold.id, unit: of.unit, station, began: hold.opened, fact: hold.id }));
    }
  }
  for (const stop of history.stops) {
    if (!open(stop) || !line.stations.some(({ code }) => code === stop.station)) continue;
    causes.set(stop.id, aDeviation({ kind: 'stop', id: stop.id, station: stop.station, began: stop.opened, fact: stop.id }));
  }
  return causes;
}

function addCauses(plan: Plan, causes: Map<string, Deviation>, step: number, visit: PeriodVisit): void {
  const { unit, station } = visit.stay;
  for (const taken of visit.taken) {
    const cause = causeOf(causes, taken, station);
    cause.local += taken.beforeFinish + taken.afterFinish;
    if (cause.kind === 'hold') cause.station ??= station;
    else if (cause.unit === null && cause.changes.length === 0) cause.unit = unit;
    else if (cause.unit !== unit) cause.unit = null;
    if (taken.beforeFinish > 0) cause.changes.push({ what: 'work', index: step, how: 'by', value: taken.beforeFinish });
  }
  for (const { id, until } of visit.keptBy) {
    const value = plan.after(Math.min(until, plan.period.to));
    causes.get(id)?.changes.push({ what: 'keep', index: step, how: 'atLeast', value });
  }
}

function causeOf(causes: Map<string, Deviation>, { id, kind, opened }: Taken, station: string): Deviation {
  const known = causes.get(id);
  if (known) return known;
  const cause = aDeviation({ kind, id: kind === 'calendar' ? null : id, station, began: opened, fact: id });
  causes.set(id, cause);
  return cause;
}

/**
 * Work over or under what was planned of it. A visit that the route did not foresee (back to a station, or to one that is not on
 * the unit's route) is over standard as a whole, and what it leads to in the time to come goes onto the plan with it.
 */
function workDeviation(plan: Plan, unit: PlanUnit, i: number, step: Step, visit: PeriodVisit): Deviation[] {
  const { stay, finished } = visit;
  const more = visit.work + visit.remaining - (step.planned ? visit.toDo : 0);
  if (more === 0 && step.planned) return [];
  const end = finished ?? Math.min(leaveOf(stay), plan.period.to);
  const over = more > 0 || !step.planned;
  const began = over ? (step.planned ? Math.min(visit.overFrom ?? end, end) : stay.arrived) : end;
  const added = step.planned ? [] : [i, ...unplannedAfter(plan, unit, i)];
  const changes: Deviation['changes'] = [{ what: 'work', index: i, how: 'by', value: more }];
  return [aDeviation({ kind: over ? 'overStandard' : 'underStandard', unit: stay.unit, station: stay.station, began, fact: stay.arrivedBy, local: more, changes, added })];
}

/** Unplanned steps still to come, when this is the last unplanned visit of the unit. */
function unplannedAfter({ steps }: Plan, unit: PlanUnit, i: number): number[] {
  const after = unit.steps.slice(unit.steps.indexOf(i) + 1).filter((step) => !steps[step]!.planned);
  return after.some((step) => steps[step]!.visit) ? [] : after;
}

function withdrawal({ line, steps }: Plan, unit: PlanUnit): Deviation {
  const last = unit.stays.at(-1)!;
  const dropped = unit.steps.filter((i) => !steps[i]!.built);
  const station = line.stations.find(({ code }) => code === last.station)?.code ?? null;
  return aDeviation({ kind: 'pulledOff', unit: unit.of.unit, station, began: last.left!, dropped });
}
