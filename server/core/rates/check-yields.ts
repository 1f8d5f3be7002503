import type { UnitState } from '../facts/unit-state.ts';
import type { Instant } from '../units.ts';
import { defectsPerUnit, firstPassYield, rolledThroughputYield } from './yields.ts';

export interface CheckYield {
  check: string;
  /** Units whose first complete attempt lies in the period, and those of them that passed it. */
  checked: number;
  passedAtFirst: number;
  firstPassYield: number | null;
}

export interface CheckYields {
  checks: CheckYield[];
  /** Null while a check of `checks` was not made in the period. */
  rolledThroughputYield: number | null;
  /** Defects found in the period ÷ units that had a first attempt at any check in it. */
  defectsPerUnit: number | null;
}

/** Yields of the checks named, by first attempts in [from, to), and defects found in it (definitions §9). */
export function checkYields(units: readonly UnitState[], checks: readonly string[], from: Instant, to: Instant): CheckYields {
  const within = (at: Instant): boolean => at >= from && at < to;
  const firsts = units.map((unit) => unit.checks.flatMap(({ check, first }) => (first && within(first.at) && checks.includes(check) ? [{ check, passed: first.passed }] : [])));
  const rows = checks.map((check): CheckYield => {
    const own = firsts.flat().filter((first) => first.check === check);
    const passedAtFirst = own.filter(({ passed }) => passed).length;
    return { check, checked: own.length, passedAtFirst, firstPassYield: firstPassYield(passedAtFirst, own.length) };
  });
  const defects = units.flatMap(({ work }) => work.filter(({ found }) => within(found.at))).length;
  return {
    checks: rows, rolledThroughputYield: rolledThroughputYield(rows.map((row) => row.firstPassYield)),
    defectsPerUnit: defectsPerUnit(defects, firsts.filter((own) => own.length > 0).length),
  };
}
