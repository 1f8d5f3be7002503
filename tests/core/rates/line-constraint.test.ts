import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { constraintMoves, type LineConstraint, lineConstraints } from '../../../server/core/rates/line-constraint.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';
import { floorDays } from '../../support/floor-days.ts';

const CODES = ['A', 'B', 'C'];
const setups = setupOf(aPlant(aLine(CODES.map((code) => aStation(code))), { A: 20, B: 20, C: 20 }));

/** Units one behind the other through three places, each moving as soon as it can, with the work of `work(unit, station)` minutes. */
function run(units: number, work: (unit: number, station: number) => number): Fact[] {
  const arrive: number[][] = [];
  const facts: Fact[] = [];
  for (let i = 0; i < units; i++) {
    const unit = `U${i}`;
    facts.push(registered(unit, { sequence: i }));
    const own: number[] = [];
    let ready = 0;
    for (let s = 0; s < 3; s++) {
      // The one before has gone from here when it came to the next place, or left the line.
      const free = i === 0 ? 0 : (arrive[i - 1]![s + 1] ?? 0);
      own[s] = Math.max(ready, free);
      ready = own[s]! + work(i, s);
    }
    own[3] = ready;
    arrive.push(own);
    CODES.forEach((station, s) => facts.push(at(own[s]!, 'arrive', { unit, station }), at(own[s]! + work(i, s), 'finish', { unit, station })));
    facts.push(at(own[3]!, 'leave', { unit, station: 'C' }));
  }
  return facts;
}

const constraintsOf = (facts: Fact[], periods: [number, number][]): LineConstraint[] => {
  const history = lineHistoryOf('MAIN', setups, facts);
  const now = Math.max(...periods.map(([, to]) => to));
  return lineConstraints(history, deriveVisits(history, minute(now)), minute(now), periods.map(([from, to]) => ({ from: minute(from), to: minute(to) })));
};

describe('lineConstraints', () => {
  it('is the slow station: blocked before it, without a unit behind it', () => {
    for (const slow of [0, 1, 2]) {
      const [constraint] = constraintsOf(run(30, (_, station) => (station === slow ? 40 : 20)), [[100, 1_000]]);
      expect(constraint, `station ${slow}`).toMatchObject({ station: CODES[slow], turningPoint: true });
    }
  });

  it('tells the minutes of each place', () => {
    // By hand, in the steady run with B at 40: A works 20 and is blocked 20, C works 20 and is starved 20 of each 40.
    const [constraint] = constraintsOf(run(30, (_, station) => (station === 1 ? 40 : 20)), [[200, 600]]);
    expect(constraint!.loads).toEqual([
      { station: 'A', starved: 0, idle: 0, blocked: 200 }, { station: 'B', starved: 0, idle: 0, blocked: 0 }, { station: 'C', starved: 200, idle: 0, blocked: 0 },
    ]);
  });

  it('moves when another station grows slow, and the move is told once', () => {
    const facts = run(40, (unit, station) => (station === (unit < 20 ? 0 : 2) ? 40 : 20));
    const constraints = constraintsOf(facts, [[0, 400], [400, 800], [1_000, 1_200], [1_200, 1_400]]);
    expect(constraints.map(({ station }) => station)).toEqual(['A', 'A', 'C', 'C']);
    expect(constraintMoves(constraints)).toEqual([{ at: minute(1_000), from: 'A', to: 'C' }]);
  });

  it('is not told of a period in which no unit stood on the line, nor is a move over it', () => {
    const constraints = constraintsOf(run(5, () => 20), [[0, 100], [5_000, 6_000], [6_000, 7_000]]);
    expect(constraints.map(({ station }) => station === null)).toEqual([false, true, true]);
    expect(constraintMoves(constraints)).toEqual([]);
  });

  it('is a station with the least of both, and no place has more minutes than were worked', () => {
    fc.assert(fc.property(floorDays, fc.integer({ min: 0, max: 6_000 }), fc.integer({ min: 60, max: 4_000 }), ({ history, visits, at: now }, from, length) => {
      const period = { from: Math.min(minute(from), now - 1), to: Math.min(minute(from + length), now) };
      const [constraint] = lineConstraints(history, visits, now, [period]);
      const lost = constraint!.loads.map(({ starved, idle, blocked }) => starved + idle + blocked);
      for (const minutes of lost) expect(minutes).toBeLessThanOrEqual((period.to - period.from) / 60_000 + 1e-6);
      const named = constraint!.loads.findIndex(({ station }) => station === constraint!.station);
      if (named >= 0) expect(lost[named]!).toBeLessThanOrEqual(Math.min(...lost) + 1e-6);
    }), { numRuns: 120 });
  });
});
