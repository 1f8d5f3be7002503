import { type WorkingTime, workingTimeOf } from '../core/calendar/working-time.ts';
import type { Fact, Recorded } from '../core/facts/fact.ts';
import { type FoldedPlaces, foldPlaces, isPlaceFact } from '../core/facts/fold-places.ts';
import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import type { ShortItem } from '../core/forecast/forecast-material.ts';
import { movedShorts } from '../core/forecast/moved-parts.ts';
import { identifiedAs } from '../core/facts/identified-as.ts';
import { foldUnits } from '../core/facts/line-history-of.ts';
import type { Flag } from '../core/facts/flag.ts';
import { effectiveFacts } from '../core/facts/voids.ts';
import type { SetupVersion } from '../core/setup/plant.ts';
import type { Stay } from '../core/timeline/line-history.ts';
import { earlier, minutesFrom, type Surroundings } from '../core/timeline/minutes-from.ts';
import type { Instant } from '../core/units.ts';
import { foldLoads, isLoadFact, type LoadState } from '../core/loads/fold-loads.ts';
import { recordingFlags } from './recording-flags.ts';
import { tiedUnits } from './touched-by.ts';

/**
 * A plant's log folded in memory, as far as fact number `version`. Everything in it is a function of the facts and the set-up,
 * so that two servers with the same version hold the same.
 */
export class PlantMemory {
  version = 0;
  /** When its last fact was recorded; null while it has none. */
  factsAt: Instant | null = null;
  setupVersion = 0;
  setups: SetupVersion[] = [];
  units = new Map<string, FoldedUnit>();
  places: FoldedPlaces = { stops: [], floorTime: [], crew: [], notes: [], actions: [], flags: [] };
  loads: LoadState[] = [];
  private readonly byId = new Map<string, Recorded>();
  private readonly byUnit = new Map<string, Recorded[]>();
  private readonly ofPlaces: Recorded[] = [];
  private readonly ofLoads: Recorded[] = [];
  private readonly voids: Recorded[] = [];
  private readonly shorts: Recorded[] = [];
  private readonly office: Recorded[] = [];
  private readonly rolls: Recorded[] = [];
  private readonly identified: Recorded[] = [];

  private readonly times = new Map<string, WorkingTime>();

  constructor(readonly code: string) {}

  /** Working time of a line or of a station on it, kept until what the floor said or the set-up changes. */
  workingTime(line: string, station: string | null): WorkingTime {
    const key = JSON.stringify([line, station]);
    const time = this.times.get(key) ?? workingTimeOf(this.setups, { line, station }, this.places.floorTime);
    this.times.set(key, time);
    return time;
  }

  fact(id: string): Recorded | null {
    return this.byId.get(id) ?? null;
  }

  /** Facts of the unit and of what was identified as it, with the voids that answer them; in the order of recording. */
  factsOf(unit: string): Recorded[] {
    const tied = tiedUnits([unit], this.identified);
    const own = [...tied].flatMap((name) => this.byUnit.get(name) ?? []);
    const ids = new Set(own.map((fact) => fact.id));
    // A void may answer a void: go round until nothing is added.
    for (let before = -1; before !== ids.size;) {
      before = ids.size;
      for (const fact of this.voids) {
        if (fact.kind !== 'void' || ids.has(fact.id) || !ids.has(fact.fact)) continue;
        ids.add(fact.id);
        own.push(fact);
      }
    }
    return own.sort((a, b) => a.seq - b.seq);
  }

  /**
   * What the units stood like at `at`, folded from the facts that had happened by then: by all that is known now, so that a mistake voided
   * since is none. Units that no fact had named are left out.
   */
  unitsAt(units: readonly string[], at: Instant): FoldedUnit[] {
    const own = units.flatMap((unit) => this.factsOf(unit)).filter((fact) => fact.happened <= at || fact.kind === 'void' || fact.kind === 'identify');
    const folded = foldUnits([...own, ...this.rolls.filter(({ happened }) => happened <= at)], this.setups);
    return units.flatMap((unit) => folded.get(unit) ?? []);
  }

  /** Releases and shipments of the units and of what was identified as them, with every void there is and every word of what is which unit. */
  officeFactsOf(units: Iterable<string>): Recorded[] {
    const tied = tiedUnits(units, this.identified);
    return [...this.office.filter((fact) => 'unit' in fact && tied.has(fact.unit)), ...this.identified, ...this.voids];
  }

  /** What happened in [from, to) to units, with every void and every identification, whenever they were stated: what scans are judged by. */
  unitFactsBetween(from: Instant, to: Instant): Recorded[] {
    const facts: Recorded[] = [...this.voids, ...this.identified];
    for (const fact of this.byId.values()) if ('unit' in fact && fact.kind !== 'identify' && fact.happened >= from && fact.happened < to) facts.push(fact);
    return facts;
  }

  /** Stays of the unit and of every serial that was ever identified with it. */
  staysOf(unit: string): Stay[] {
    return [...tiedUnits([unit], this.identified)].flatMap((name) => this.units.get(name)?.history.stays ?? []);
  }

  /** Everything that was ever missing on a unit of the plant, left short or moved to another unit, with when it was fitted. */
  shortItems(): ShortItem[] {
    const counting = effectiveFacts([...this.shorts, ...this.voids]);
    const fitted = new Map<string, Instant>(counting.flatMap((fact) => (fact.kind === 'fitShort' ? [[`${fact.short}/${fact.item}`, fact.happened] as const] : [])));
    const kinds = this.setups.at(-1)?.plant.partKinds ?? [];
    const moved = movedShorts([...this.units.values()].map(({ state }) => state), (part) => kinds.find(({ code }) => code === part)?.name ?? part);
    const left = counting.flatMap((fact) => (fact.kind !== 'leaveShort' ? [] : fact.items.map(({ what }, item): ShortItem => {
      const id = `${fact.id}/${item}`;
      return { unit: fact.unit, id, what, opened: fact.happened, fitted: fitted.get(id) ?? null };
    })));
    return [...left, ...moved];
  }

  /** From when minutes of visits may differ for `facts`, which this memory holds already; null when none does. */
  minutesFrom(facts: readonly Recorded[]): Instant | null {
    const around: Surroundings = {
      staysOf: (unit) => this.staysOf(unit),
      unitsOn: (line, t) => [...this.units.values()]
        .filter(({ history }) => history.stays.some((stay) => stay.line === line && stay.arrived <= t && (stay.left ?? t) >= t)).map(({ state }) => state.unit),
      happened: (id) => this.byId.get(id)?.happened ?? null,
    };
    return facts.flatMap((fact) => this.answeredBy(fact)).reduce<Instant | null>((from, fact) => (fact.kind === 'void' ? from : earlier(from, minutesFrom(fact, around))), null);
  }

  /** Puts in what came after `this.version`, facts in the order of their numbers, and folds what they touch. */
  add(facts: readonly Recorded[], version: number): void {
    const touched = new Set<string>();
    let places = false;
    let loads = false;
    for (const fact of facts) {
      this.keep(fact);
      for (const answered of this.answeredBy(fact)) {
        if ('unit' in answered) touched.add(answered.unit);
        if (isPlaceFact(answered)) places = true;
        if (isLoadFact(answered)) loads = true;
        if (answered.kind === 'roll') for (const unit of this.byUnit.keys()) touched.add(unit);
      }
    }
    if (places) this.foldPlaces();
    if (loads) this.loads = foldLoads([...this.ofLoads, ...this.voids]);
    this.foldUnits(tiedUnits(touched, this.identified));
    this.version = version;
  }

  /** Another set-up: everything is folded anew, for it may hold from an instant long ago. */
  setUp(setups: SetupVersion[], setupVersion: number): void {
    this.setups = setups;
    this.setupVersion = setupVersion;
    this.foldPlaces();
    this.foldUnits(new Set(this.byUnit.keys()));
  }

  private keep(fact: Recorded): void {
    this.byId.set(fact.id, fact);
    this.factsAt = Math.max(this.factsAt ?? 0, fact.recorded);
    if ('unit' in fact) {
      const own = this.byUnit.get(fact.unit);
      if (own) own.push(fact);
      else this.byUnit.set(fact.unit, [fact]);
    }
    if (isPlaceFact(fact)) this.ofPlaces.push(fact);
    if (isLoadFact(fact)) this.ofLoads.push(fact);
    if (fact.kind === 'void') this.voids.push(fact);
    if (fact.kind === 'release' || fact.kind === 'ship') this.office.push(fact);
    if (fact.kind === 'roll') this.rolls.push(fact);
    if (fact.kind === 'leaveShort' || fact.kind === 'fitShort') this.shorts.push(fact);
    if (fact.kind === 'identify') this.identified.push(fact);
  }

  /** The fact itself, and what it answers when it is a void, to the end of the chain. */
  private answeredBy(fact: Recorded): Fact[] {
    const answered: Fact[] = [];
    const seen = new Set<string>();
    for (let next: Recorded | undefined = fact; next && !seen.has(next.id);) {
      seen.add(next.id);
      answered.push(next);
      next = next.kind === 'void' ? this.byId.get(next.fact) : undefined;
    }
    return answered;
  }

  private foldPlaces(): void {
    this.times.clear();
    this.places = foldPlaces([...this.ofPlaces, ...this.voids], this.setups);
  }

  private foldUnits(units: ReadonlySet<string>): void {
    if (units.size === 0) return;
    const own = [...units].flatMap((unit) => this.byUnit.get(unit) ?? []);
    const folded = foldUnits([...own, ...this.rolls, ...this.voids], this.setups);
    const ofFuture = this.futureFlags(own);
    for (const unit of units) {
      const now = folded.get(unit);
      if (now) this.units.set(unit, { ...now, flags: [...now.flags, ...(ofFuture.get(unit) ?? [])] });
      else this.units.delete(unit);
    }
  }

  /** Flags of facts that happened later than they were recorded, by the unit they count for. */
  private futureFlags(own: readonly Recorded[]): Map<string, Flag[]> {
    const flags = new Map<string, Flag[]>();
    if (!own.some((fact) => recordingFlags(fact, null).length > 0)) return flags;
    const counting = effectiveFacts([...own, ...this.voids]);
    const identified = identifiedAs(counting);
    for (const fact of counting) {
      if (!('unit' in fact)) continue;
      const unit = identified.get(fact.unit) ?? fact.unit;
      flags.set(unit, [...(flags.get(unit) ?? []), ...recordingFlags(this.byId.get(fact.id)!, unit)]);
    }
    return flags;
  }
}
