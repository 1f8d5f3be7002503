import fc from 'fast-check';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { lateCsv } from '../../server/contract/late-csv.ts';
import { readLateQuery, writeLateQuery } from '../../server/contract/late-query.ts';
import { LATE_GROUPS, LATE_SORTS, lateReport, type LateQuery } from '../../server/contract/late-report.ts';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import { emptyUnit } from '../../server/core/facts/evolve.ts';
import type { UnitStage, UnitState } from '../../server/core/facts/unit-state.ts';
import { aLine, aPlant, aStation, minute } from '../support/given.ts';

// Late as definitions §7 tells it; groups and their order are the report's own rule.
function row(unit: string, minutesLate: number, more: Partial<UnitState> = {}): UnitRow {
  const promise = more.promise ?? '2026-06-05';
  return {
    state: { ...emptyUnit(unit), known: true, promise, model: 'L24', dealer: 'D1', stageSince: minute(0), ...more },
    visit: null, next: null, projectedFinish: null, projectedExit: null, projectedReady: minute(60), manufactured: null, coveredAt: {}, flags: [],
    late: { promise, due: 0, late: minutesLate > 0, minutesLate, calendarDaysLate: 1 },
  };
}

function snapshot(units: UnitRow[]): Snapshot {
  const stops = [{ id: 's', station: 'A', reason: 'Tool broken', note: '', opened: 0, who: 'w' }];
  return { version: 1, at: minute(0), plant: aPlant(aLine([aStation('A')]), {}), setupVersion: 1, units, stops, stations: [], floorTime: [], crew: [], exits: [], unreleasedShips: [] };
}

const usual: LateQuery = { shipDay: '', dealer: '', model: '', lateOnly: true, group: 'none', sort: 'worst' };
const order = (units: UnitRow[], query: Partial<LateQuery> = {}): string[] =>
  lateReport(snapshot(units), { ...usual, ...query }, minute(1440)).flatMap((group) => group.units.map(({ unit }) => unit));

const units = [row('U1', 30, { dealer: 'D2' }), row('U2', 0, { dealer: 'D3' }), row('U4', 90), row('U3', 90, { dealer: 'D2' })];

describe('lateReport', () => {
  it('lists late units worst first, ties by serial', () => {
    expect(order(units)).toEqual(['U3', 'U4', 'U1']);
    expect(order(units, { lateOnly: false })).toEqual(['U3', 'U4', 'U1', 'U2']);
  });

  it('leaves out what nobody knows or has promised', () => {
    expect(order([row('U1', 30, { known: false }), { ...row('U2', 30), late: null }], { lateOnly: false })).toEqual([]);
  });

  it('keeps what fits every filter', () => {
    expect(order(units, { dealer: 'D2' })).toEqual(['U3', 'U1']);
    expect(order(units, { dealer: 'D2', shipDay: '2026-06-06' })).toEqual([]);
    expect(order(units, { model: 'L24', shipDay: '2026-06-05' })).toHaveLength(3);
  });

  it('groups by stage in the order of a unit\'s way, what has not begun last', () => {
    const stages: UnitStage[] = ['scheduled', 'released', 'yard', 'inspection', 'offLine', 'onLine'];
    const groups = lateReport(snapshot(stages.map((stage) => row(stage, 10, { stage }))), { ...usual, group: 'stage' }, minute(0));
    expect(groups.map(({ key }) => key)).toEqual(['onLine', 'offLine', 'inspection', 'yard', 'released', 'scheduled']);
  });

  it('groups by ship day, dealer and model by name', () => {
    const mixed = [row('U1', 1, { dealer: 'B', promise: '2026-06-09' }), row('U2', 2, { dealer: 'A', promise: '2026-06-08' }), row('U3', 3, { dealer: 'B' })];
    const keys = (group: LateQuery['group']): string[] => lateReport(snapshot(mixed), { ...usual, group }, minute(0)).map(({ key }) => key);
    expect(keys('dealer')).toEqual(['A', 'B']);
    expect(keys('shipDay')).toEqual(['2026-06-05', '2026-06-08', '2026-06-09']);
    expect(keys('model')).toEqual(['L24']);
  });

  it('sorts within a group as asked', () => {
    const some = [row('U1', 5, { stageSince: minute(100) }), row('U2', 9, { stageSince: minute(50), dealer: 'A' }), { ...row('U3', 7, { stageSince: null }), projectedReady: null }];
    expect(order(some, { sort: 'age' })).toEqual(['U2', 'U1', 'U3']);
    expect(order(some, { sort: 'unit' })).toEqual(['U1', 'U2', 'U3']);
    expect(order(some, { sort: 'dealer' })).toEqual(['U2', 'U3', 'U1']);
    expect(order(some, { sort: 'ready' })).toEqual(['U2', 'U1', 'U3']);
  });

  it('tells the age in its stage in days, and what stops it', () => {
    const place = { line: 'MAIN', station: 'A', slot: '', since: 0, finished: null, broughtBy: '' };
    const [group] = lateReport(snapshot([row('U1', 5, { place })]), usual, minute(2160));
    expect(group!.units[0]).toMatchObject({ daysInStage: 1.5, place: 'A', stops: ['Tool broken'] });
  });

  it('holds each unit once, however it is grouped and sorted', () => {
    fc.assert(fc.property(fc.constantFrom(...LATE_GROUPS), fc.constantFrom(...LATE_SORTS), (group, sort) => {
      expect(order(units, { group, sort }).toSorted()).toEqual(['U1', 'U3', 'U4']);
    }));
  });
});

describe('the late-unit query', () => {
  it('reads from an address what was written into it', () => {
    const text = fc.constantFrom('', 'D 1', 'a&b=c', '2026-06-05');
    fc.assert(fc.property(text, text, text, fc.boolean(), fc.constantFrom(...LATE_GROUPS), fc.constantFrom(...LATE_SORTS), (shipDay, dealer, model, lateOnly, group, sort) => {
      const query = { shipDay, dealer, model, lateOnly, group, sort };
      expect(readLateQuery(Object.fromEntries(new URLSearchParams(writeLateQuery(query))))).toEqual({ query, wrong: [] });
    }));
  });

  it('says which values it does not know', () => {
    expect(readLateQuery({ group: 'colour', sort: 'worst', only: 'early' })).toMatchObject({ wrong: ['only', 'group'], query: { group: 'stage', lateOnly: false } });
  });
});

describe('lateCsv', () => {
  it('has a row a unit in the report\'s order, and no cell that is a formula', () => {
    const groups = lateReport(snapshot([row('U1', 5, { dealer: '=1+1' }), row('U2', 9, { stage: 'yard' })]), { ...usual, group: 'stage' }, minute(1440));
    const records = parse(lateCsv(groups, 'UTC'), { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
    expect(records.map(({ group, serial }) => [group, serial])).toEqual([['yard', 'U2'], ['scheduled', 'U1']]);
    expect(records[1]).toMatchObject({ dealer: '\'=1+1', days_in_stage: '1.0', ready: '2026-06-01 01:00', late: 'yes', working_minutes_late: '5', promise: '2026-06-05' });
  });
});
