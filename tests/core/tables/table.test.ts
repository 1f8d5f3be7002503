import { describe, expect, it } from 'vitest';
import { InvariantError } from '../../../server/core/invariant.ts';
import { type Cell, checkTable, type ColumnType, headingOf } from '../../../server/core/tables/table.ts';

const check = (type: ColumnType, cell: Cell) => () => checkTable({ title: 'T', timeZone: 'UTC', columns: [{ name: 'c', type }], rows: [[cell]] });

describe('checkTable', () => {
  it('lets through what each type holds, and nothing to tell in any', () => {
    const holds: [ColumnType, Cell][] = [['text', ''], ['number', -0.5], ['minutes', 1.25], ['instant', 0], ['date', '2026-11-25']];
    for (const [type, cell] of holds) {
      expect(check(type, cell)).not.toThrow();
      expect(check(type, null)).not.toThrow();
    }
  });

  it('stops at what a type does not hold', () => {
    const wrong: [ColumnType, Cell][] = [['text', 1], ['number', '1'], ['number', Number.NaN], ['minutes', Number.POSITIVE_INFINITY], ['instant', 0.5], ['instant', '2026-11-25'], ['date', '25.11.2026']];
    for (const [type, cell] of wrong) expect(check(type, cell), `${type} ${cell}`).toThrow(InvariantError);
  });

  it('stops at a row too short', () => {
    expect(() => checkTable({ title: 'T', timeZone: 'UTC', columns: [{ name: 'c', type: 'text' }], rows: [[]] })).toThrow('0 cells for 1 columns');
  });
});

describe('headingOf', () => {
  it('says the zone of instants only', () => {
    expect(headingOf({ name: 'arrived', type: 'instant' }, 'UTC')).toBe('arrived (UTC)');
    expect(headingOf({ name: 'promise', type: 'date' }, 'UTC')).toBe('promise');
  });
});
