import { type ActionRow, inDueOrder, isOverdue, type NoteRow, type ToldShift } from '../../server/contract/shift-summary.ts';
import type { CloseAction, Fact, Note, OpenAction } from '../../server/core/facts/fact.ts';
import { compareFacts } from '../../server/core/facts/order.ts';

/** What a person says on the shift summary. */
export type Word = Note | OpenAction | CloseAction;

const isWord = (fact: Fact): fact is Word => fact.kind === 'note' || fact.kind === 'openAction' || fact.kind === 'closeAction';

/**
 * What this device said and the summary it shows does not hold yet. The outbox forgets a fact once a snapshot holds it, and the summary is fetched apart
 * from it: until that is as new, the fact is kept here.
 */
export class OwnWords {
  private readonly kept = new Map<string, { word: Word; inVersion: number | null }>();

  /** `own` and `refused` as the outbox has them now, the versions those of the snapshot and of the summary that is shown. */
  update(own: readonly Fact[], refused: ReadonlySet<string>, snapshotVersion: number, summaryVersion: number): void {
    for (const fact of own) if (isWord(fact)) this.kept.set(fact.id, { word: fact, inVersion: null });
    const waiting = new Set(own.map(({ id }) => id));
    for (const [id, kept] of this.kept) {
      if (!waiting.has(id)) kept.inVersion ??= snapshotVersion;
      if (refused.has(id) || (kept.inVersion !== null && kept.inVersion <= summaryVersion)) this.kept.delete(id);
    }
  }

  words(): Word[] {
    return [...this.kept.values()].map(({ word }) => word).sort(compareFacts);
  }

  /** Whether a fresher summary would hold some of them. */
  wantsSummaryAfter(version: number): boolean {
    return [...this.kept.values()].some(({ inVersion }) => inVersion !== null && inVersion > version);
  }
}

/** The shift as it will be told once the server has `words` of its line; what it has already is left as it is. */
export function withOwnWords(told: ToldShift, line: string, words: readonly Word[]): ToldShift {
  let { notes, carried, closed } = told;
  const known = new Set([...notes, ...carried, ...closed].map(({ id }) => id));
  for (const word of words) {
    if (word.line !== line) continue;
    if (word.kind === 'note' && !known.has(word.id)) notes = [noteOf(word), ...notes];
    if (word.kind === 'openAction' && !known.has(word.id)) carried = inDueOrder([...carried, actionOf(word, told.at)]);
    const action = word.kind === 'closeAction' ? carried.find(({ id }) => id === word.action) : undefined;
    if (word.kind !== 'closeAction' || !action) continue;
    carried = carried.filter((other) => other !== action);
    closed = [{ ...action, overdue: isOverdue(action.due, word.happened, told.at), closed: { at: word.happened, who: word.who, note: word.note } }, ...closed];
  }
  return { ...told, notes, carried, closed };
}

function noteOf({ id, text, who, happened }: Note): NoteRow {
  return { id, text, who, happened, before: false };
}

function actionOf({ id, what, owner, due, who, happened }: OpenAction, at: number): ActionRow {
  return { id, what, owner, due, overdue: isOverdue(due, null, at), who, opened: happened, closed: null };
}
