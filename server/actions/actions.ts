import { StationhandError } from '../contract/errors.ts';
import type { Identity } from '../contract/identity.ts';
import type { ForecastReply, ForecastTold } from '../contract/forecast.ts';
import type { FactsReply, ImportMode, ImportReply, OfferedVin, PlantRow, SetupReply, UnitReply } from '../contract/replies.ts';
import type { LoadsReply } from '../contract/loads.ts';
import type { ShiftSummaryReply } from '../contract/shift-summary.ts';
import type { PlansReply, WaysBackReply } from '../contract/plans.ts';
import type { TrustReply } from '../contract/trust.ts';
import type { Snapshot } from '../contract/snapshot.ts';
import type { Plant, SetupVersion } from '../core/setup/plant.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { LineDelayReply, ShiftDelaysReply } from '../contract/line-delay.ts';
import type { Instant, LocalDate } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { loadSetups } from '../store/setup/load-setups.ts';
import { listPlants } from '../store/setup/list-plants.ts';
import { listSetups, type LoadedSetup } from '../store/setup/list-setups.ts';
import { type AccessActions, createAccess } from './access/access.ts';
import { createAccessMemory } from './access/access-memory.ts';
import { createAudit } from './access/audit.ts';
import type { Caller } from './access/caller.ts';
import { createProvider, type ProviderSettings } from './access/provider.ts';
import { type FactsSaid, stateFacts } from './access/state-facts.ts';
import { buildSnapshot } from './build-snapshot.ts';
import { createDwellReports, type DwellReports } from './dwell-reports.ts';
import { createForecasts } from './forecasts.ts';
import { importUnits } from './import-units.ts';
import { loadPlant } from './load-plant.ts';
import { coalesced } from './coalesced.ts';
import { createDevices, type Devices } from './devices.ts';
import { lineDelayNow, lineDelayOfDays } from './line-delay.ts';
import { plantLoads } from './loads.ts';
import { createMinutesTeller } from './minutes-teller.ts';
import { createPlantMemories, type PlantMemories } from './plant-memories.ts';
import type { PlantMemory } from './plant-memory.ts';
import { createRecorder } from './record-facts.ts';
import { comparedPlans, unitWaysBack } from './plans.ts';
import { offeredVin } from './offered-vin.ts';
import { printPlacards, printUnitPaper, type UnitPaper } from './print-paper.ts';
import { createQuality, type QualityActions } from './quality-actions.ts';
import { releaseUnit } from './release-unit.ts';
import { type AskedShift, shiftSummary } from './shift-summary.ts';
import { forecastTrust } from './trust.ts';
import { unitStory } from './unit-story.ts';
import { createWorkers } from './workers.ts';

/** Everything that can be asked of Stationhand; errors are `StationhandError`s of the closed list, or what the database throws. */
export interface Actions {
  plants(): Promise<PlantRow[]>;
  loadPlant(document: unknown, validFrom: Instant, by: Identity): Promise<SetupReply>;
  setup(plant: string): Promise<SetupVersion>;
  /** Every version of the set-up, by version; none for a plant that there is not. */
  setups(plant: string): Promise<LoadedSetup[]>;
  /** What the program itself states, judged by nobody. What comes over the wire goes by `stateFacts`. */
  recordFacts(plant: string, wireFacts: readonly unknown[]): Promise<FactsReply>;
  /** Records facts that a device sends, each with the right of who states it when it happened. */
  stateFacts(caller: Caller, plant: string, said: FactsSaid): Promise<FactsReply>;
  access: AccessActions;
  snapshot(plant: string): Promise<Snapshot>;
  unitStory(plant: string, unit: string): Promise<UnitReply>;
  shiftSummary(plant: string, line: string, asked: AskedShift): Promise<ShiftSummaryReply>;
  importUnits(plant: string, text: string, mode: ImportMode, by: Identity): Promise<ImportReply>;
  /** Line delay of the shift that runs, told again at most every four seconds; null where there is none. */
  lineDelayNow(plant: string, line: string): Promise<LineDelayReply | null>;
  lineDelayOfDays(plant: string, line: string, first: LocalDate, last: LocalDate): Promise<ShiftDelaysReply>;
  /** Dwell and delay, scan habits, and the visits behind them. */
  reports: DwellReports;
  releaseUnit(plant: string, unit: string, by: Identity): Promise<FactsReply>;
  /** The next VIN to offer for the unit. */
  offeredVin(plant: string, unit: string): Promise<OfferedVin>;
  /** Pages to print, as HTML. */
  printUnitPaper(plant: string, paper: UnitPaper, unit: string, language: 'en' | 'es'): Promise<string>;
  printPlacards(plant: string, language: 'en' | 'es'): Promise<string>;
  /** Calls `listener` with the plant of every commit, here or (through `heard`) in another server, and null when some may have been missed. */
  onCommit(listener: (plant: string | null) => void): void;
  /** What is forecast of every unit that is not shipped: made anew at most every 20 seconds when facts came, else every five minutes. */
  forecast(plant: string): Promise<ForecastReply>;
  /** What goes with which truck. */
  loads(plant: string): Promise<LoadsReply>;
  /** Another plan beside today's: `body` says what it does otherwise (`plansSchema`). */
  comparePlans(plant: string, body: unknown): Promise<PlansReply>;
  /** What overtime would let the unit make its promise. */
  waysBack(plant: string, unit: string): Promise<WaysBackReply>;
  /** Kept forecasts held against what happened, told again at most once a minute. */
  trust(plant: string): Promise<TrustReply>;
  /** Calls `listener` when a forecast was made. */
  onForecast(listener: (plant: string, told: ForecastTold) => void): void;
  /** A commit of any server was announced. */
  heard(plant: string | null): void;
  /** Tells the minutes of the plant's visits as far as its log goes now; else they follow a moment after each commit. */
  minutesTold(plant: string): Promise<void>;
  quality: QualityActions;
  /** What the plant's kiosks said of themselves. */
  devices: Devices;
  now(): Instant;
  /** Resolves once everything taken in is answered. */
  settled(): Promise<void>;
}

/** A snapshot is told again for so long without being made anew, while nothing changed. */
const FRESH_MS = 2_000;
const DELAY_FRESH_MS = 4_000;
const TRUST_FRESH_MS = 60_000;

export function createActions({ db, now, log, provider = null }: { db: Db; now(): Instant; log(message: string): void; provider?: ProviderSettings | null }): Actions {
  const listeners = new Set<(plant: string | null) => void>();
  const tell = (plant: string | null): void => {
    for (const listener of listeners) listener(plant);
    const follow = (code: string): void => {
      minutes.schedule(code);
      forecasts.schedule(code);
    };
    if (plant !== null) follow(plant);
    else void listPlants(db).then((plants) => plants.forEach(({ code }) => follow(code)), () => {});
  };
  const memories = createPlantMemories(db);
  const recorder = createRecorder({ db, now, log, committed: tell });
  const workers = createWorkers();
  const minutes = createMinutesTeller(db, memories, workers, log);
  const parts = { db, now, memory: createAccessMemory(db), audit: createAudit(db, now), provider: provider && createProvider(provider), log };
  const snapshots = new Map<string, Snapshot>();
  const forecasts = createForecasts({ db, memories, workers, minutesTold: (plant) => minutes.now(plant), now, log });
  const trusts = coalesced<TrustReply>(TRUST_FRESH_MS), delays = coalesced<LineDelayReply | null>(DELAY_FRESH_MS);

  return {
    now,
    devices: createDevices(now),
    quality: createQuality({ db, recorder, workers, now, memory: (plant) => knownPlant(memories, plant, now()), changed: tell }),
    plants: () => plantRows(db, now()),
    async loadPlant(document, validFrom, by) {
      const reply = await loadPlant(db, document, validFrom, by, now());
      tell(codeOf(document));
      return reply;
    },
    setup: async (plant) => setupNow((await memories.upToDate(plant)).setups, now()),
    setups: (plant) => listSetups(db, plant),
    recordFacts: (plant, wireFacts) => recorder.record(plant, wireFacts),
    stateFacts: (caller, plant, said) => stateFacts(parts, recorder, caller, plant, said),
    access: createAccess(parts),
    async snapshot(plant) {
      const memory = await memories.upToDate(plant);
      const kept = snapshots.get(plant);
      if (kept && kept.version === memory.version && kept.setupVersion === memory.setupVersion && Math.abs(now() - kept.at) < FRESH_MS) return kept;
      const snapshot = buildSnapshot(memory, now());
      snapshots.set(plant, snapshot);
      return snapshot;
    },
    unitStory: async (plant, unit) => unitStory(await memories.upToDate(plant), unit, now()),
    shiftSummary: async (plant, line, asked) => shiftSummary(await memories.upToDate(plant), workers, line, asked, now()),
    importUnits: async (plant, text, mode, by) => importUnits({ memory: await memories.upToDate(plant), recorder, workers }, text, mode, by, now()),
    lineDelayNow: (plant, line) => delays(JSON.stringify([plant, line]), async () => lineDelayNow(await memories.upToDate(plant), workers, line, now())),
    lineDelayOfDays: async (plant, line, first, last) => lineDelayOfDays(await memories.upToDate(plant), workers, line, first, last, now()),
    reports: createDwellReports({ db, memories, workers, minutesTold: (plant) => minutes.now(plant), now }),
    releaseUnit: async (plant, unit, by) => releaseUnit(await memories.upToDate(plant), recorder, unit, by, now()),
    forecast: (plant) => forecasts.latest(plant),
    loads: async (plant) => plantLoads(await memories.upToDate(plant), await forecasts.latest(plant), now()),
    comparePlans: async (plant, body) => comparedPlans({ db, workers }, await memories.upToDate(plant), body, now()),
    waysBack: async (plant, unit) => unitWaysBack({ db, workers }, await memories.upToDate(plant), unit, now()),
    trust: (plant) => trusts(plant, async () => forecastTrust(db, workers, await memories.upToDate(plant), now())),
    onForecast: (listener) => forecasts.onMade(listener),
    offeredVin: async (plant, unit) => offeredVin(await memories.upToDate(plant), unit, now()),
    printUnitPaper: async (plant, paper, unit, language) => printUnitPaper(await memories.upToDate(plant), paper, unit, language, now()),
    printPlacards: async (plant, language) => printPlacards(await memories.upToDate(plant), language, now()),
    onCommit: (listener) => void listeners.add(listener),
    heard: tell, minutesTold: (plant) => minutes.now(plant),
    async settled() {
      await recorder.settled();
      forecasts.stop();
      minutes.stop();
      await workers.close();
      await Promise.all([forecasts.ended(), minutes.ended()]);
    },
  };
}

/** The plant's memory. Throws `unknownPlant` where there is none. */
async function knownPlant(memories: PlantMemories, plant: string, at: Instant): Promise<PlantMemory> {
  const memory = await memories.upToDate(plant);
  setupNow(memory.setups, at);
  return memory;
}

function setupNow(setups: readonly SetupVersion[], at: Instant): SetupVersion {
  const setup = setupAt(setups, at);
  if (!setup) throw new StationhandError('unknownPlant');
  return setup;
}

async function plantRows(db: Db, at: Instant): Promise<PlantRow[]> {
  const rows = await listPlants(db);
  return Promise.all(rows.map(async (row) => ({ ...row, timeZone: inForce(await loadSetups(db, row.code), at).timeZone })));
}

function inForce(setups: readonly SetupVersion[], at: Instant): Plant {
  const setup = setupAt(setups, at);
  if (!setup) throw new StationhandError('unknownPlant');
  return setup.plant;
}

function codeOf(document: unknown): string | null {
  return typeof document === 'object' && document !== null && 'code' in document && typeof document.code === 'string' ? document.code : null;
}
