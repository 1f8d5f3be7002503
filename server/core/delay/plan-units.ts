import { routeOf, setupAt } from '../setup/setup-at.ts';
import type { Line, Plant } from '../setup/plant.ts';
import type { Derivation } from '../timeline/derivation.ts';
import type { UnitHistory } from '../timeline/line-history.ts';
import { leaveOf, type LineStay } from '../timeline/occupancy.ts';
import { type ComingUnit, isFeeder, lengthOf, type LineState, lineStateAt } from './line-state.ts';
import { type Period, type PeriodVisit, periodVisits, toMs } from './period-visits.ts';
import type { Gap, Plan, PlanUnit, Step } from './plan.ts';

interface Making {
  plant: Plant;
  line: Line;
  period: Period;
  position: Map<string, number>;
  plan: Plan;
  state: LineState;
}

/**
 * The steps of every unit that is on the line in the period, as planned at its beginning and as built by its end, and what is left of
 * its route after that. Set-up other than the standards of visits is that of the end. Null when the set-up has no such line.
 */
export function planOf(derivation: Derivation, period: Period): Plan | null {
  const { history, at } = derivation;
  const plant = setupAt(history.setups, at)?.plant;
  const visits = periodVisits(derivation, period);
  const standing = [...visits.values()].map((own) => own.at(-1)!).filter(({ stay }) => stay.left === null).map(({ stay, finished, standard, remaining }) =>
    ({ unit: stay.unit, station: stay.station, left: null, notScanned: false, finished, standard: standard / 60_000, minutes: { work: (standard - remaining) / 60_000 } }));
  const state = lineStateAt(history, standing, at);
  if (!plant || !state) return null;
  const { line } = state;
  const after = (t: number): number => toMs(period.time.workingBetween(period.from, t));
  const plan: Plan = { line, period, units: [], steps: [], releases: [], releasedBefore: null, pastRelease: Number.NEGATIVE_INFINITY, end: after(period.to), pace: toMs(line.pace), after };
  const making: Making = { plant, line, period, position: new Map(line.stations.map((station, i) => [station.code, i])), plan, state };
  const stays = staysByUnit(derivation, making);
  const coming = new Map(state.units.map((unit, order) => [unit.unit, { unit, order }]));
  for (const of of history.units) {
    const own = stays.get(of.unit) ?? [];
    const next = coming.get(of.unit) ?? null;
    if (own.length === 0 && (line.roll === 'asReady' || !next)) continue;
    addUnit(making, of, own, visits.get(of.unit) ?? [], next);
  }
  orderReleases(plan, stays);
  return plan;
}

function staysByUnit({ occupancy }: Derivation, { position }: Making): Map<string, LineStay[]> {
  const byUnit = new Map<string, LineStay[]>();
  for (const [station, { stays }] of occupancy.byStation) {
    if (!position.has(station)) continue;
    for (const stay of stays) {
      const known = byUnit.get(stay.unit);
      if (known) known.push(stay);
      else byUnit.set(stay.unit, [stay]);
    }
  }
  for (const own of byUnit.values()) own.sort((a, b) => a.arrived - b.arrived);
  return byUnit;
}

function orderReleases(plan: Plan, stays: Map<string, LineStay[]>): void {
  const { from } = plan.period;
  let before = Number.NEGATIVE_INFINITY;
  for (const [first] of stays.values()) if (first!.arrived <= from) before = Math.max(before, first!.arrived);
  plan.releasedBefore = before === Number.NEGATIVE_INFINITY ? null : plan.after(before);
  const released = plan.units.flatMap((unit, i) => (unit.released !== null || unit.stays.length === 0 ? [i] : []));
  plan.releases = released.sort((a, b) => {
    const [x, y] = [plan.units[a]!, plan.units[b]!];
    return (x.released ?? Infinity) - (y.released ?? Infinity) || x.order - y.order || (x.stays[0]!.arrivedBy < y.stays[0]!.arrivedBy ? -1 : 1);
  });
}

function addUnit(making: Making, of: UnitHistory, stays: LineStay[], visits: PeriodVisit[], next: { unit: ComingUnit; order: number } | null): void {
  const { plant, line, period, position, plan } = making;
  const known = visits.filter(({ stay }) => position.has(stay.station));
  const route = routeOf(plant, line, of.model || null, of.options).map(({ station, standard }) => ({ station: position.get(station)!, standard: toMs(standard) }));
  const before = stays.findLast((stay) => stay.arrived <= period.from) ?? null;
  const pastLine = before !== null && wasPastLine(making, of, before, route);
  if (known.length === 0 && pastLine) {
    if (of.gone === null || of.gone > before!.left!) plan.pastRelease = Math.max(plan.pastRelease, stays[0]!.arrived);
    return;
  }
  const released = stays[0] && stays[0].arrived > period.from ? stays[0].arrived : null;
  const plannedRelease = of.plannedRelease === null ? null : plan.after(of.plannedRelease);
  const unit: PlanUnit = {
    of, stays, length: lengthOf(plant, of), steps: [], gaps: [], released, offLine: false, order: next?.order ?? Infinity, plannedRelease, withdrawn: false,
    exitBefore: pastLine ? plan.after(before!.left!) : null,
  };
  addSteps(making, unit, known, route, before, next?.unit ?? null);
  plan.units.push(unit);
}

/** Index of the last station of the route at or before `station`. */
function reachedOn(route: readonly { station: number }[], station: number): number {
  return route.findLastIndex((step) => step.station <= station);
}

function wasPastLine({ plant, period: { from }, position }: Making, of: UnitHistory, last: LineStay, route: readonly { station: number }[]): boolean {
  if (leaveOf(last) > from) return false;
  if (of.gone !== null && of.gone <= from) return true;
  if (of.stays.some((stay) => stay.line !== last.line && !isFeeder(plant, stay.line) && stay.arrived > last.arrived && stay.arrived <= from)) return true;
  return reachedOn(route, position.get(last.station)!) === route.length - 1;
}

function addSteps(making: Making, unit: PlanUnit, visits: PeriodVisit[], route: readonly { station: number; standard: number }[], before: LineStay | null, next: ComingUnit | null): void {
  const { period, position, plan } = making;
  const index = plan.units.length;
  const add = (step: Partial<Step> & Pick<Step, 'station' | 'came'>): void => {
    unit.steps.push(plan.steps.length);
    plan.steps.push({ unit: index, visit: null, planned: true, built: true, standing: false, standard: 0, ...step });
  };
  const pastLine = unit.exitBefore !== null;
  let reached = before === null ? -1 : (pastLine ? route.length - 1 : reachedOn(route, position.get(before.station)!));
  let last = before;
  for (const visit of visits) {
    const station = position.get(visit.stay.station)!;
    const came = visit.stay.arrived;
    if (last && last !== visit.stay && leaveOf(last) < came && !(pastLine && last === before)) unit.gaps.push(gapAfter(unit, index, last, came));
    last = visit.stay;
    if (came <= period.from) {
      add({ station, came, visit, standing: true });
      continue;
    }
    const on = route.findIndex((step) => step.station === station);
    for (let skipped = reached + 1; skipped < on; skipped++) add({ ...route[skipped]!, came, built: false });
    add({ station, came, visit, planned: on > reached });
    reached = Math.max(reached, on);
  }
  if (next) {
    if (last && leaveOf(last) <= period.to) {
      unit.gaps.push(gapAfter(unit, index, last, null));
      unit.offLine = unit.gaps.at(-1)!.kind === 'pulledOff';
    }
    const from = last === null ? 0 : next.reached + 1;
    for (const { station, standard } of next.route.slice(from)) {
      const on = route.findIndex((step) => step.station === position.get(station.code));
      add({ station: position.get(station.code)!, standard: toMs(standard), came: Number.POSITIVE_INFINITY, planned: on > reached });
    }
  } else {
    const came = last?.left ?? period.to;
    for (const step of route.slice(reached + 1)) add({ ...step, came, built: false });
    unit.withdrawn = unit.of.gone !== null && unit.of.gone <= period.to && last?.leftHow === 'parked' && reached < route.length - 1;
  }
  add({ station: -1, came: next ? Number.POSITIVE_INFINITY : (last?.left ?? Number.POSITIVE_INFINITY) });
}

function gapAfter(unit: PlanUnit, index: number, left: LineStay, to: number | null): Gap {
  const from = left.left!;
  const pulled = left.leftHow === 'pulledOff' || left.leftHow === 'parked' || unit.of.offLine.some((off) => off.from <= (to ?? Infinity) && (off.to === null || off.to > from) && off.from >= from);
  return { unit: index, before: unit.steps.length, kind: pulled ? 'pulledOff' : 'rollLag', from, to, left };
}
