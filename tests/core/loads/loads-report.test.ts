import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foldUnit } from '../../../server/core/facts/fold-unit.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import type { UnitState } from '../../../server/core/facts/unit-state.ts';
import type { LoadState } from '../../../server/core/loads/fold-loads.ts';
import { loadsReport } from '../../../server/core/loads/loads-report.ts';
import { at, minute, registered } from '../../support/given.ts';

const DAY = 1_440;
const NOW = minute(100 * DAY);
const said = (load: string, more: Partial<LoadState> = {}): LoadState => ({ load, carrier: 'A', pickUp: null, note: '', called: null, ...more });
/** A unit on a load, what happened to it at minutes. */
function unit(name: string, load: string, { release, ship, back, promise }: { release?: number; ship?: number; back?: number; promise?: string } = {}): UnitState {
  const facts: Fact[] = [registered(name, { promise: promise ?? '2026-06-05' }), at(1, 'putOnLoad', { unit: name, load })];
  if (release !== undefined) facts.push(at(release, 'release', { unit: name }));
  if (ship !== undefined) facts.push(at(ship, 'ship', { unit: name, carrier: 'A' }));
  if (back !== undefined) facts.push(at(back, 'comeBack', { unit: name, reason: 'door' }));
  return foldUnit(name, facts, []).state;
}
const report = (units: UnitState[], loads: LoadState[]) => loadsReport(units, loads, [], () => null, NOW);

describe('the report of loads', () => {
  it('tells how a load stands by what was said of it and by which of its units were picked up', () => {
    const late = 99 * DAY;
    const rows = report([
      unit('U1', 'CALLED'), unit('U2', 'PLANNED', { release: 5 }), unit('U3', 'PART', { release: 5, ship: late }), unit('U4', 'PART', { release: 6 }), unit('U5', 'GONE', { release: 5, ship: late }),
    ], [said('CALLED', { called: { at: minute(2), who: 'w', note: '' } }), said('PLANNED'), said('PART'), said('GONE')]);
    expect(Object.fromEntries(rows.map(({ load, standing, toGo, released, pickedUp }) => [load, [standing, toGo, released, pickedUp]]))).toEqual({
      CALLED: ['called', 1, 0, null], PLANNED: ['planned', 1, 1, null], PART: ['partlyGone', 1, 1, minute(late)], GONE: ['gone', 0, 0, minute(late)],
    });
  });
  it('holds a load that only its units name, and one without units until a day after its truck', () => {
    expect(report([unit('U1', 'X')], []).map(({ load, carrier }) => [load, carrier])).toEqual([['X', '']]);
    const empty = (pickUp: number | null) => report([], [said('E', { pickUp: pickUp === null ? null : minute(pickUp) })]).length;
    expect([empty(null), empty(99 * DAY), empty(99 * DAY - 1), empty(120 * DAY)]).toEqual([1, 1, 0, 1]);
  });
  it('lets go of what was gone a fortnight ago', () => {
    const rows = (ship: number) => report([unit('U1', 'L', { release: 5, ship })], []).length;
    expect([rows(86 * DAY), rows(86 * DAY - 1)]).toEqual([1, 0]);
  });
  it('says what came back from which load, also when nothing else went with it', () => {
    const [row] = report([unit('U1', 'L', { release: 5, ship: 10, back: 99 * DAY })], []);
    expect(row).toMatchObject({ load: 'L', standing: 'gone', units: [], cameBack: [{ unit: 'U1', at: minute(99 * DAY), reason: 'door' }] });
  });
  it('puts the next truck first, then those nobody has said a time for, then those gone, the latest first', () => {
    const rows = report(
      [unit('U1', 'B'), unit('U2', 'A'), unit('U3', 'N'), unit('U4', 'G1', { ship: 95 * DAY }), unit('U5', 'G2', { ship: 96 * DAY })],
      [said('A', { pickUp: minute(200 * DAY) }), said('B', { pickUp: minute(101 * DAY) }), said('N')],
    );
    expect(rows.map(({ load }) => load)).toEqual(['B', 'A', 'N', 'G2', 'G1']);
  });
  it('puts units in the order of their ship days, and tells a released one ready since its release', () => {
    const [row] = loadsReport([unit('U1', 'L', { promise: '2026-06-09' }), unit('U2', 'L', { promise: '2026-06-03', release: 7 })], [], [], () => minute(500), NOW);
    expect(row!.units.map(({ unit: name, ready }) => [name, ready])).toEqual([['U2', minute(7)], ['U1', minute(500)]]);
  });
  it('has each unit that is on a load once, whatever happened', () => {
    const drawn = fc.array(fc.record({ load: fc.constantFrom('L1', 'L2'), release: fc.option(fc.nat(50), { nil: undefined }), ship: fc.option(fc.integer({ min: 90 * DAY, max: 99 * DAY }), { nil: undefined }) }), { maxLength: 8 });
    fc.assert(fc.property(drawn, (draws) => {
      const units = draws.map(({ load, release, ship }, i) => unit(`U${i}`, load, { ...(release === undefined ? {} : { release }), ...(ship === undefined ? {} : { ship }) }));
      const rows = report(units, []);
      expect(rows.flatMap((row) => row.units.map(({ unit: name }) => name)).toSorted()).toEqual(units.map(({ unit: name }) => name));
      for (const { toGo, released, units: own } of rows) {
        expect(toGo).toBe(own.filter(({ shipped }) => shipped === null).length);
        expect(released).toBeLessThanOrEqual(toGo);
      }
    }));
  });
});
