import type { SetupVersion } from '../setup/plant.ts';
import { findLine, findStation, setupAt } from '../setup/setup-at.ts';
import type { FloorTime, StopInterval } from '../timeline/line-history.ts';
import type { CrewWord } from '../timeline/crew.ts';
import type { Instant } from '../units.ts';
import type { ClearStop, CloseAction, Fact, PlaceFact } from './fact.ts';
import type { Flag, FlagCode } from './flag.ts';
import { effectiveFacts } from './voids.ts';

export interface StationStop extends StopInterval {
  note: string;
  who: string;
}

/** Something to be done for a line; `closed` null while it is open, `closing` who closed it and what was said then. */
export interface LineAction {
  id: string;
  line: string;
  what: string;
  owner: string;
  due: Instant | null;
  who: string;
  opened: Instant;
  closed: Instant | null;
  closing: { who: string; note: string } | null;
}

export interface LineNote {
  id: string;
  line: string;
  text: string;
  who: string;
  happened: Instant;
}

export interface FoldedPlaces {
  stops: StationStop[];
  floorTime: FloorTime[];
  /** Heads stated and lent, in order. */
  crew: CrewWord[];
  notes: LineNote[];
  actions: LineAction[];
  flags: Flag[];
}

export const PLACE_KINDS = ['roll', 'openStop', 'clearStop', 'openUntil', 'goneHome', 'heads', 'loan', 'note', 'openAction', 'closeAction'] as const;

export function isPlaceFact(fact: Fact): fact is PlaceFact {
  return (PLACE_KINDS as readonly string[]).includes(fact.kind);
}

/** What the facts say of stations and lines (definitions §2): stops, the day's working time, heads. A function of the set. */
export function foldPlaces(facts: readonly Fact[], setups: readonly SetupVersion[]): FoldedPlaces {
  const counting = effectiveFacts(facts).filter(isPlaceFact);
  const cleared = new Map<string, ClearStop | CloseAction>();
  for (const fact of counting) {
    if (fact.kind !== 'clearStop' && fact.kind !== 'closeAction') continue;
    const target = fact.kind === 'clearStop' ? fact.stop : fact.action;
    if (!cleared.has(target)) cleared.set(target, fact);
  }
  const folded: FoldedPlaces = { stops: [], floorTime: [], crew: [], notes: [], actions: [], flags: [] };
  const opened = new Set(counting.filter((fact) => fact.kind === 'openStop' || fact.kind === 'openAction').map((fact) => fact.id));
  for (const fact of counting) {
    folded.flags.push(...placeFlags(fact, setups, opened));
    if (fact.kind === 'openStop') {
      const { id, station, reason, note, who, happened } = fact;
      folded.stops.push({ id, station, reason, note, who, opened: happened, cleared: cleared.get(id)?.happened ?? null });
    } else if (fact.kind === 'openUntil' || fact.kind === 'goneHome') {
      const { kind, line, station, happened } = fact;
      folded.floorTime.push({ kind, line, station, happened, until: fact.kind === 'openUntil' ? fact.until : null });
    } else if (fact.kind === 'heads' || fact.kind === 'loan') {
      const { id, kind, station, heads, happened } = fact;
      folded.crew.push({ id, kind, station, heads, happened, from: fact.kind === 'loan' ? fact.from : null, until: fact.kind === 'loan' ? fact.until : null });
    } else if (fact.kind === 'note') {
      const { id, line, text, who, happened } = fact;
      folded.notes.push({ id, line, text, who, happened });
    } else if (fact.kind === 'openAction') {
      const { id, line, what, owner, due, who, happened } = fact;
      const closing = cleared.get(id);
      folded.actions.push({ id, line, what, owner, due, who, opened: happened, closed: closing?.happened ?? null, closing: closing ? { who: closing.who, note: closing.note } : null });
    }
  }
  return folded;
}

function placeFlags(fact: PlaceFact, setups: readonly SetupVersion[], opened: ReadonlySet<string>): Flag[] {
  const plant = setupAt(setups, fact.happened)?.plant;
  const station = 'station' in fact ? fact.station : null;
  const line = 'line' in fact ? fact.line : null;
  const flag = (code: FlagCode, detail: string): Flag => ({ fact: fact.id, code, unit: null, station, detail });
  const flags: Flag[] = [];
  if (station !== null && (!plant || !findStation(plant, station))) flags.push(flag('unknownStation', station));
  if (line !== null && (!plant || !findLine(plant, line))) flags.push(flag('unknownLine', line));
  if (fact.kind === 'clearStop' && !opened.has(fact.stop)) flags.push(flag('unknownTarget', fact.stop));
  if (fact.kind === 'closeAction' && !opened.has(fact.action)) flags.push(flag('unknownTarget', fact.action));
  if (fact.kind === 'loan' && fact.from !== null && (!plant || !findStation(plant, fact.from))) flags.push(flag('unknownStation', fact.from));
  return flags;
}
