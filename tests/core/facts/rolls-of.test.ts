import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import { foldUnits } from '../../../server/core/facts/line-history-of.ts';
import { rollsByLine, rollsOf } from '../../../server/core/facts/rolls-of.ts';
import { effectiveFacts } from '../../../server/core/facts/voids.ts';
import type { Plant, SetupVersion } from '../../../server/core/setup/plant.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../../support/given.ts';

const rolling = (code: string, stations: string[]) => aLine(stations.map((station) => aStation(station)), { code, roll: 'together' });
const standards = { T1: 10, T2: 10, T3: 10, R1: 5, R2: 5 };
const plant = (...lines: Plant['lines']): Plant => aPlant(lines[0]!, standards, { lines });
const both = plant(rolling('T', ['T1', 'T2', 'T3']), rolling('R', ['R1', 'R2']));
const setups = setupOf(both);

describe('the rolls that a unit is folded with', () => {
  const facts: Fact[] = [at(0, 'roll', { line: 'T' }), at(10, 'arrive', { unit: 'U', station: 'T1' }), ...[20, 30, 40, 50].map((m) => at(m, 'roll', { line: 'T' })), at(25, 'roll', { line: 'R' })];
  const own = facts.filter((fact) => fact.kind === 'arrive');
  it('are those of the lines it came onto, from then on, as many as can move it', () => {
    const lines = rollsByLine(effectiveFacts(facts), setups);
    expect(rollsOf(own, lines, setups).map((fact) => fact.happened)).toEqual([minute(20), minute(30), minute(40)]);
    expect(rollsOf([], lines, setups)).toEqual([]);
    expect(rollsOf(own, rollsByLine(own, setups), setups)).toEqual([]);
  });

  it('leave out those of a line that the set-up did not have then, so that they push no other out', () => {
    const without = plant(rolling('R', ['R1', 'R2']));
    const versions: SetupVersion[] = [
      { version: 1, validFrom: 0, plant: both }, { version: 2, validFrom: minute(15), plant: without }, { version: 3, validFrom: minute(45), plant: both },
    ];
    expect(rollsByLine(effectiveFacts(facts), versions).get('T')!.rolls.map((fact) => fact.happened)).toEqual([minute(0), minute(50)]);
    expect(foldUnits(facts, versions).get('U')!.state.place).toMatchObject({ station: 'T2', since: minute(50) });
  });
});

describe('foldUnits', () => {
  const fewer = plant(rolling('T', ['T3', 'T1']), rolling('R', ['R2', 'R1', 'T2']));
  const none = plant(rolling('R', ['R1', 'R2']));
  const anyFact: fc.Arbitrary<Fact> = fc.tuple(fc.nat(60), fc.constantFrom('U1', 'U2', 'U3'), fc.constantFrom('T1', 'T2', 'T3', 'R1', 'R2', 'YARD'), fc.nat(14)).map(([m, unit, station, which]) => {
    const facts: (() => Fact)[] = [
      () => at(m, 'arrive', { unit, station }), () => at(m, 'finish', { unit, station }), () => at(m, 'putBack', { unit, station }), () => registered(unit),
      () => at(m, 'pullOff', { unit, reason: 'Leak', to: null }), () => at(m, 'identify', { unit: 'U1', scanned: 'U2', reason: 'misread' }),
      () => at(m, 'roll', { line: 'R' }), () => at(m, 'leave', { unit, station }), () => at(m, 'seen', { unit, station, slot: '' }), () => at(m, 'missing', { unit, station }),
    ];
    return (facts[which] ?? (() => at(m, 'roll', { line: 'T' })))();
  });
  const versions = fc.array(fc.constantFrom(both, fewer, none), { minLength: 1, maxLength: 4 })
    .map((plants) => plants.map((own, i): SetupVersion => ({ version: i + 1, validFrom: i === 0 ? 0 : minute(i * 15), plant: own })));

  it('folds each unit as if it were given every roll of every line', () => {
    fc.assert(fc.property(fc.array(anyFact, { maxLength: 50 }), versions, (facts, all) => {
      for (const [unit, folded] of foldUnits(facts, all)) expect(folded).toEqual(foldUnit(unit, facts, all));
    }), { numRuns: 2_000 });
  });
});
