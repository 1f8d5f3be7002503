import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crewOf, crewRows, crewTotals, headsFor, loansOf, untilInstant } from '../../../kiosk/data/crew-now.ts';
import { withOwnFacts } from '../../../kiosk/data/own-facts.ts';
import type { Snapshot } from '../../../server/contract/snapshot.ts';
import { foldPlaces } from '../../../server/core/facts/fold-places.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { aLine, aPlant, aStation, at, minute, setupOf } from '../../support/given.ts';

// A day shift from 06:00 to 14:00, Monday and Tuesday. Minute 0 is Monday 00:00.
const [SIX, TWO] = [360, 840];
const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [], weekdays: ['mon' as const, 'tue' as const] };
const main = aLine([aStation('A', { plannedHeads: 3 }), aStation('BUFFER', { plannedHeads: 0 }), aStation('B', { plannedHeads: 2.5 })]);
const plant = aPlant(main, { A: 10, B: 10 }, { calendars: [{ code: 'always', shifts: [day], exceptions: [] }] });
const crew = { planned: 0, here: 0, short: 0, stated: false };
const stations = [...main.stations, ...plant.places].map(({ code }) => ({ line: code === 'YARD' ? null : 'MAIN', station: code, units: [], free: 1, freeState: null, crew }));
const empty: Snapshot = { version: 1, at: minute(SIX), plant, setupVersion: 1, units: [], stops: [], stations, floorTime: [], crew: [], exits: [], unreleasedShips: [] };
const heads = (m: number, station: string, n: number): Fact => at(m, 'heads', { station, heads: n });
const loan = (m: number, from: string | null, station: string, n: number, until: number | null = null): Fact => at(m, 'loan', { station, from, heads: n, until: until === null ? null : minute(until) });
const own = (...facts: Fact[]): Snapshot => withOwnFacts(empty, facts);
const served = (...facts: Fact[]): Snapshot => ({ ...empty, crew: foldPlaces(facts, setupOf(plant)).crew });
const hereAt = (view: Snapshot, m: number): Record<string, number> => Object.fromEntries(crewRows(view, minute(m)).map(({ station, crew: { here } }) => [station.code, here]));

describe('the crew table', () => {
  it('lists the stations with a standard crew in line order, and one that has heads lent to it', () => {
    expect(hereAt(empty, SIX + 10)).toEqual({ A: 3, B: 2.5 });
    expect(Object.keys(hereAt(own(loan(SIX, 'A', 'BUFFER', 1)), SIX + 10))).toEqual(['A', 'BUFFER', 'B']);
  });

  it('adds up what is planned, here, missing and counted; heads too many at one station do not make up for another', () => {
    const view = own(heads(SIX, 'A', 5), heads(SIX, 'B', 1));
    expect(crewTotals(crewRows(view, minute(SIX + 10)))).toEqual({ planned: 5.5, here: 6, short: 1.5, counted: 2 });
    expect(crewTotals([])).toEqual({ planned: 0, here: 0, short: 0, counted: 0 });
  });

  it('takes a count from 90 minutes before the shift, shows it before the shift starts, and forgets it after', () => {
    const view = own(heads(SIX - 80, 'A', 2));
    expect(hereAt(view, SIX - 70)).toMatchObject({ A: 2 });
    expect(hereAt(view, TWO - 1)).toMatchObject({ A: 2 });
    expect(hereAt(view, TWO)).toMatchObject({ A: 3 });
    expect(hereAt(view, 1_440 + SIX)).toMatchObject({ A: 3 });
    expect(crewRows(view, minute(TWO + 30)).map(({ shift }) => shift)).toEqual([null, null]);
    expect(hereAt(own(heads(SIX - 100, 'A', 2)), SIX)).toMatchObject({ A: 3 });
  });

  it('ends a loan at its instant by the screen\'s clock, with no word of the server', () => {
    const view = own(loan(SIX, 'A', 'B', 1, SIX + 60));
    expect(hereAt(view, SIX + 59)).toEqual({ A: 2, B: 3.5 });
    expect(hereAt(view, SIX + 60)).toEqual({ A: 3, B: 2.5 });
  });

  it('lists the loans of the shift in order', () => {
    const view = own(loan(SIX, 'A', 'B', 1), heads(SIX + 1, 'A', 3), loan(SIX + 5, null, 'A', 0.5));
    const rows = crewRows(view, minute(SIX + 10));
    expect(loansOf(view, rows, minute(SIX + 10)).map(({ from, station }) => [from, station])).toEqual([['A', 'B'], [null, 'A']]);
    expect(loansOf(view, crewRows(view, minute(1_440 + SIX)), minute(1_440 + SIX))).toEqual([]);
  });
});

describe('own facts of the crew', () => {
  it('stand in the station rows at once, as the server will tell them', () => {
    const view = own(heads(SIX, 'A', 2), loan(SIX + 1, 'B', 'A', 0.5));
    expect(view.stations.map(({ station, crew: { planned, here, short, stated } }) => [station, planned, here, short, stated]))
      .toEqual([['A', 3, 2.5, 0.5, true], ['BUFFER', 0, 0, 0, false], ['B', 2.5, 2, 0.5, false], ['YARD', 0, 0, 0, false]]);
  });

  it('count once though the snapshot that holds them came before the answer', () => {
    const facts = [heads(SIX, 'A', 2), loan(SIX + 1, 'B', 'A', 1)];
    expect(hereAt(withOwnFacts(served(...facts), facts), SIX + 10)).toEqual(hereAt(own(...facts), SIX + 10));
  });

  it('are gone when they are taken back before they were sent', () => {
    const wrong = heads(SIX, 'A', 1);
    expect(hereAt(own(wrong, at(SIX + 1, 'void', { fact: wrong.id, reason: 'wrong' })), SIX + 10)).toEqual({ A: 3, B: 2.5 });
  });

  it('come to the same as on the server, whichever of them it has already', () => {
    const fact = fc.record({ m: fc.integer({ min: SIX - 80, max: TWO - 10 }), what: fc.constantFrom('A', 'B', 'A>B', 'B>A', '>A'), n: fc.integer({ min: 0, max: 8 }) });
    fc.assert(fc.property(fc.array(fact, { maxLength: 8 }), fc.nat(8), (said, sent) => {
      const facts = said.toSorted((a, b) => a.m - b.m).map(({ m, what, n }) => (what.includes('>') ? loan(m, what.split('>')[0] || null, what.split('>')[1]!, n / 2) : heads(m, what, n / 2)));
      const all = served(...facts);
      const some = withOwnFacts(served(...facts.slice(0, sent)), facts.slice(Math.max(0, sent - 1)));
      expect(hereAt(some, TWO - 5)).toEqual(hereAt(all, TWO - 5));
    }));
  });
});

describe('one station', () => {
  it('has no crew outside every line, and its standard crew while nothing is said', () => {
    expect(crewOf(empty, 'YARD', minute(SIX))).toBeNull();
    expect(crewOf(empty, 'NOWHERE', minute(SIX))).toBeNull();
    expect(crewOf(empty, 'A', minute(SIX))).toEqual({ planned: 3, here: 3, short: 0, stated: false });
  });

  it('is told the same alone as in the table', () => {
    const view = own(heads(SIX, 'A', 1.5), loan(SIX, 'A', 'B', 1));
    for (const row of crewRows(view, minute(SIX + 10))) expect(crewOf(view, row.station.code, minute(SIX + 10))).toEqual(row.crew);
  });

  it('is stepped to the heads wanted, those lent to it left out of the count', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 6 }), fc.integer({ min: -2, max: 2 }), (wanted, lent) => {
      const lending = lent >= 0 ? loan(SIX, null, 'A', lent) : loan(SIX, 'A', 'B', -lent);
      const before = crewRows(own(lending), minute(SIX + 1)).find(({ station }) => station.code === 'A')!;
      const after = own(lending, heads(SIX + 2, 'A', headsFor(before, wanted)));
      expect(crewOf(after, 'A', minute(SIX + 3))?.here).toBe(Math.max(wanted, lent));
    }));
  });
});

describe('until', () => {
  it('is the next time the clock of the plant says so, over midnight too; empty is the end of the shift', () => {
    expect(untilInstant('UTC', '10:30', minute(SIX))).toBe(minute(630));
    expect(untilInstant('UTC', '06:00', minute(SIX))).toBe(minute(1_440 + SIX));
    expect(untilInstant('America/Chicago', '01:30', minute(SIX))).toBe(minute(390));
    expect(untilInstant('UTC', '', minute(SIX))).toBeNull();
  });
});
