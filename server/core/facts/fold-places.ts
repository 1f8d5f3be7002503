import type { SetupVersion } from '../setup/plant.ts';
import { findLine, findStation, setupAt } from '../setup/setup-at.ts';
import type { FloorTime, StopInterval } from '../timeline/line-history.ts';
import type { Instant } from '../units.ts';
import type { Fact, PlaceFact } from './fact.ts';
import type { Flag, FlagCode } from './flag.ts';
import { effectiveFacts } from './voids.ts';

export interface StationStop extends StopInterval {
  note: string;
  who: string;
}

export interface FoldedPlaces {
  stops: StationStop[];
  floorTime: FloorTime[];
  /** The last heads stated at each station. */
  heads: Map<string, { heads: number; since: Instant }>;
  flags: Flag[];
}

const PLACE_KINDS: readonly Fact['kind'][] = ['roll', 'openStop', 'clearStop', 'openUntil', 'goneHome', 'heads'];

export function isPlaceFact(fact: Fact): fact is PlaceFact {
  return PLACE_KINDS.includes(fact.kind);
}

/** What the facts say of stations and lines (definitions §2): stops, the day's working time, heads. A function of the set. */
export function foldPlaces(facts: readonly Fact[], setups: readonly SetupVersion[]): FoldedPlaces {
  const counting = effectiveFacts(facts).filter(isPlaceFact);
  const cleared = new Map<string, Instant>();
  for (const fact of counting) if (fact.kind === 'clearStop' && !cleared.has(fact.stop)) cleared.set(fact.stop, fact.happened);
  const folded: FoldedPlaces = { stops: [], floorTime: [], heads: new Map(), flags: [] };
  const opened = new Set(counting.filter((fact) => fact.kind === 'openStop').map((fact) => fact.id));
  for (const fact of counting) {
    folded.flags.push(...placeFlags(fact, setups, opened));
    if (fact.kind === 'openStop') {
      const { id, station, reason, note, who, happened } = fact;
      folded.stops.push({ id, station, reason, note, who, opened: happened, cleared: cleared.get(id) ?? null });
    } else if (fact.kind === 'openUntil' || fact.kind === 'goneHome') {
      const { kind, line, station, happened } = fact;
      folded.floorTime.push({ kind, line, station, happened, until: fact.kind === 'openUntil' ? fact.until : null });
    } else if (fact.kind === 'heads') {
      folded.heads.set(fact.station, { heads: fact.heads, since: fact.happened });
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
  return flags;
}
