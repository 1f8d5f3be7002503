import { describe, expect, it } from 'vitest';
import { OwnWords, withOwnWords } from '../../../kiosk/data/own-words.ts';
import { type ActionRow, inDueOrder, isOverdue, type ToldShift } from '../../../server/contract/shift-summary.ts';
import { at, minute } from '../../support/given.ts';

const action = (id: string, more: Partial<ActionRow> = {}): ActionRow => ({ id, what: id, owner: 'Stores', due: null, overdue: false, who: 'badge-1', opened: 0, closed: null, ...more });
const told = (more: Partial<ToldShift> = {}): ToldShift => ({
  at: minute(600), current: true, counts: [], offLine: [], shorts: [], holds: [], stops: [], heads: { missing: [], stations: 0, notStated: 0, loans: [] }, notes: [], carried: [], closed: [],
  delay: { lastUnit: null, totalMinutes: 0, lostMinutes: 0, inPipeMinutes: 0, unitMinutesLate: 0, pushedMinutes: 0, recoveredMinutes: 0, causes: [] }, ...more,
});
const note = at(590, 'note', { line: 'MAIN', text: 'Hoist is slow' });
const opened = at(591, 'openAction', { line: 'MAIN', what: 'Mend it', owner: 'Maintenance', due: minute(500) });
const close = (id: string) => at(595, 'closeAction', { line: 'MAIN', action: id, note: 'tried' });

describe('what this device said', () => {
  it('is shown at once, in its place', () => {
    const { notes, carried, closed } = withOwnWords(told({ carried: [action('A'), action('B')] }), 'MAIN', [note, opened, close('A')]);
    expect(notes).toMatchObject([{ id: note.id, text: 'Hoist is slow', before: false }]);
    expect(carried.map(({ id, overdue }) => [id, overdue])).toEqual([[opened.id, true], ['B', false]]);
    expect(closed).toMatchObject([{ id: 'A', closed: { at: minute(595), who: 'badge-1', note: 'tried' } }]);
  });

  it('closes an action that it opened itself', () => {
    const { carried, closed } = withOwnWords(told(), 'MAIN', [opened, close(opened.id)]);
    expect([carried, closed.map(({ id }) => id)]).toEqual([[], [opened.id]]);
  });

  it('is there once when the summary has it already, and not on the page of another line', () => {
    const once = withOwnWords(told(), 'MAIN', [note, opened, close(opened.id)]);
    expect(withOwnWords(once, 'MAIN', [note, opened, close(opened.id)])).toEqual(once);
    expect(withOwnWords(told(), 'PDI', [note, opened])).toEqual(told());
  });

  it('is kept until a summary as new as the snapshot that has it is shown', () => {
    const own = new OwnWords();
    own.update([note, at(1, 'roll', { line: 'MAIN' })], new Set(), 7, 7);
    expect(own.words()).toEqual([note]);
    expect(own.wantsSummaryAfter(7)).toBe(false);
    own.update([], new Set(), 9, 7);
    own.update([], new Set(), 12, 8);
    expect(own.words()).toEqual([note]);
    expect(own.wantsSummaryAfter(8)).toBe(true);
    own.update([], new Set(), 12, 9);
    expect(own.words()).toEqual([]);
  });

  it('goes when the server refused it', () => {
    const own = new OwnWords();
    own.update([note, opened], new Set(), 7, 7);
    own.update([opened], new Set([note.id]), 7, 7);
    expect(own.words()).toEqual([opened]);
  });
});

describe('actions', () => {
  it('are overdue when not done by their due time, or done after it', () => {
    expect([isOverdue(null, null, 10), isOverdue(5, null, 10), isOverdue(10, null, 10), isOverdue(5, 4, 10), isOverdue(5, 6, 10)]).toEqual([false, true, false, false, true]);
  });

  it('stand overdue first, then by due time, those without one last', () => {
    const rows = [action('none late', { opened: 2 }), action('none'), action('soon', { due: 20 }), action('overdue', { due: 5, overdue: true }), action('later', { due: 30 })];
    expect(inDueOrder(rows).map(({ id }) => id)).toEqual(['overdue', 'soon', 'later', 'none', 'none late']);
  });
});
