import { StationhandError } from '../contract/errors.ts';
import { toWire } from '../contract/fact-wire.ts';
import type { Identity } from '../contract/identity.ts';
import type { ImportMode, ImportProblem, ImportReply } from '../contract/replies.ts';
import type { UnitCsvRow } from '../contract/units-csv.ts';
import type { Fact, FactBase } from '../core/facts/fact.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import { officeFacts } from './office-facts.ts';
import { type ImportParts, namedProblems, readUnitsCsv } from './read-import.ts';

const REASON = 'import';
const FACTS_A_BATCH = 500;

/**
 * Takes production control's CSV of units: a new serial is registered, a known one gets a fact for each thing that changed. `check` records nothing,
 * `all` only when every row is good, `good` the good rows. Throws `unknownPlant`, `tooBusy`.
 */
export async function importUnits(
  { memory, recorder, workers }: ImportParts, text: string, mode: ImportMode, by: Identity, now: Instant,
): Promise<ImportReply> {
  const plant = setupAt(memory.setups, now)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  const { rows, problems: unread, columns } = await readUnitsCsv(workers, text, plant);
  const stateOf = (row: UnitCsvRow): UnitState | null => memory.units.get(row.unit)?.state ?? null;
  const changed = rows.flatMap((row) => orderProblem(row, stateOf(row)) ?? []);
  const lines = new Set(changed.map(({ line }) => line));
  const good = rows.filter(({ line }) => !lines.has(line));
  const problems = namedProblems([...unread, ...changed]);
  if (mode === 'check' || (mode === 'all' && problems.length > 0)) {
    return { mode, good: good.length, imported: 0, problems, version: memory.version };
  }
  const base = officeFacts(by, now);
  const facts = good.flatMap((row) => factsOfRow(row, stateOf(row), base, columns));
  let version = memory.version;
  for (let first = 0; first < facts.length; first += FACTS_A_BATCH) {
    const reply = await recorder.record(memory.code, facts.slice(first, first + FACTS_A_BATCH).map(toWire));
    const refused = reply.replies.find(({ outcome }) => outcome === 'refused');
    if (refused) throw new StationhandError('malformedUnits', { what: refused.why?.error.what });
    version = reply.version;
  }
  return { mode, good: good.length, imported: good.length, problems, version };
}

/** A unit keeps the order it was registered with: no fact changes it, so a row that wants another one is not good. */
function orderProblem({ line, unit, order }: UnitCsvRow, state: UnitState | null): ImportProblem | null {
  if (!state?.known || order === '' || order === state.order) return null;
  return { line, column: 'order', message: `${unit} was registered with the order ${state.order || '(empty)'}, which an import does not change: leave this cell empty to change the rest` };
}

/** What must be stated so that the unit is as the row says. Of a known unit only what a column of the file is about. Empty when it is so already. */
export function factsOfRow(row: UnitCsvRow, state: UnitState | null, base: () => FactBase, columns: ReadonlySet<string>): Fact[] {
  const { unit, model, order, dealer, sequence, plannedRelease, wish, promise } = row;
  if (!state?.known) return [{ ...base(), kind: 'register', unit, model, options: row.options, order, dealer, sequence, plannedRelease, wish, promise }];
  const facts: Fact[] = [];
  const reason = REASON;
  const options = columns.has('options') ? row.options : state.options;
  if (state.model !== model || state.options.join('\n') !== options.join('\n')) facts.push({ ...base(), kind: 'changeBuild', unit, model, options, reason });
  if (columns.has('dealer') && state.dealer !== dealer) facts.push({ ...base(), kind: 'changeDealer', unit, dealer, reason });
  if (state.sequence !== sequence) facts.push({ ...base(), kind: 'resequence', unit, sequence, reason });
  if (columns.has('planned_release') && state.plannedRelease !== plannedRelease) facts.push({ ...base(), kind: 'replan', unit, plannedRelease, reason });
  if (columns.has('dealer_wish') && state.wish !== wish) facts.push({ ...base(), kind: 'wish', unit, wish, reason });
  if (columns.has('promise') && state.promise !== promise) facts.push({ ...base(), kind: 'promise', unit, promise, reason });
  return facts;
}
