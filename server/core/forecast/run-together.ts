import type { CompiledLine } from './compiled-line.ts';
import { createLineSteps, type LineRunner, type LineSteps } from './run-line.ts';
import type { RunMemory } from './run-memory.ts';
import type { Runs } from './runs.ts';

/** What one roll moves: each unit on the line to its next step, and the unit that enters with it (-1: none). */
interface Roll {
  entering: number;
  moving: { unit: number; from: number; to: number }[];
}

/** Who moves where at which roll is the same in every run; only when it happens is drawn. */
export function rollsOf({ units, steps }: CompiledLine): Roll[] {
  const onLine = units.names.map((_, u) => u).filter((u) => units.onLine[u] === 1 && steps.first[u + 1]! > steps.first[u]!);
  const waiting = units.names.map((_, u) => u).filter((u) => units.onLine[u] === 0 && steps.first[u + 1]! > steps.first[u]!);
  let standing = onLine.map((unit) => ({ unit, step: steps.first[unit]! }));
  const rolls: Roll[] = [];
  while (standing.length > 0 || waiting.length > 0) {
    const moving = standing.map(({ unit, step }) => ({ unit, from: step, to: step + 1 }));
    const entering = waiting.shift() ?? -1;
    rolls.push({ entering, moving });
    standing = moving.filter(({ unit, to }) => to < steps.first[unit + 1]!).map(({ unit, to }) => ({ unit, step: to }));
    if (entering >= 0) standing.push({ unit: entering, step: steps.first[entering]! });
  }
  return rolls;
}

/**
 * A line that rolls together (definitions §5): a roll happens at the latest of all finishes and ends of hold on the line and the planned release of the unit
 * that enters with it; a unit that leaves the line's end leaves at the roll.
 */
export function createTogetherRunner(compiled: CompiledLine, at: RunMemory, runs: Runs): LineRunner {
  const { units, steps, calendars, wallClock } = compiled;
  const line = createLineSteps(compiled, at, runs);
  const rolls = rollsOf(compiled);
  const beginWork = createWork(compiled, at, line);
  return {
    holdInto: line.holdInto,
    run(part) {
      line.begin(part);
      for (let u = 0; u < units.names.length; u++) {
        runs.fill(at.ready[u]!, 0);
        if (units.onLine[u] === 0) continue;
        const first = steps.first[u]!;
        line.holdBack(u, first);
        if (first < steps.first[u + 1]!) beginWork(u, first);
        line.holdBack(u, first + 1);
      }
      for (const { entering, moving } of rolls) {
        releaseInto(entering);
        for (const { unit } of moving) runs.laterOf(at.roll, at.ready[unit]!);
        for (const { unit, to } of moving) {
          runs.copy(at.ready[unit]!, at.roll);
          if (to === steps.first[unit + 1]) continue;
          beginWork(unit, to);
          line.holdBack(unit, to + 1);
        }
        if (entering < 0) continue;
        runs.copy(at.ready[entering]!, at.roll);
        runs.copy(at.lastRoll, at.roll);
        beginWork(entering, steps.first[entering]!);
        line.holdBack(entering, steps.first[entering]! + 1);
      }
    },
  };

  /** The earliest that the roll may be on account of the unit that enters: its planned release, or one pace after the release before; and its holds. */
  function releaseInto(entering: number): void {
    runs.fill(at.roll, 0);
    if (entering < 0) return;
    const planned = units.release[entering]!;
    const ready = at.ready[entering]!;
    runs.fill(ready, Number.isNaN(planned) ? compiled.pace : planned);
    if (!Number.isNaN(planned)) {
      if (wallClock) runs.toWall(ready, calendars[0]!);
    } else if (wallClock) {
      runs.copy(at.scratch, at.lastRoll);
      runs.addOnCalendar(at.scratch, ready, calendars[0]!, -1);
      runs.copy(ready, at.scratch);
    } else runs.add(ready, at.lastRoll, -1);
    line.holdBack(entering, steps.first[entering]!);
    runs.laterOf(at.roll, ready);
  }
}

/** Puts the work of a visit that begins now on top of the unit's vector, with what else happens during it. */
function createWork({ steps, stations, calendars, wallClock }: CompiledLine, at: RunMemory, line: LineSteps): (unit: number, step: number) => void {
  const { runs } = line;
  return (unit, step) => {
    const s = steps.station[step]!;
    runs.draw(at.scratch, line.visit(step));
    line.troubles(unit, step, at.scratch);
    if (wallClock) runs.addOnCalendar(at.ready[unit]!, at.scratch, calendars[stations.calendar[s]!]!, s);
    else runs.add(at.ready[unit]!, at.scratch, s);
  };
}
