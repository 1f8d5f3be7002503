import type { Identity } from '../contract/identity.ts';
import type { PeriodQuery } from '../contract/period-query.ts';
import type { QualityRatesReply } from '../contract/quality-rates.ts';
import type { CommonFindingsReply, FactsReply, ImportMode, ImportReply, SetupReply } from '../contract/replies.ts';
import type { CampaignRow, TraceReply } from '../contract/trace.ts';
import type { Table } from '../core/tables/table.ts';
import type { Instant } from '../core/units.ts';
import type { Db } from '../store/database.ts';
import { commonFindings } from './common-findings.ts';
import { type AskedFigures, confirmFigures } from './confirm-figures.ts';
import { confirmLimits } from './confirm-limits.ts';
import { createPhotos, type Photos } from './photos.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Recorder } from './record-facts.ts';
import { claimsTable, importClaims, qualityRatesOf } from './quality-rates.ts';
import { revokeRelease } from './release-unit.ts';
import { shipList } from './ship-list.ts';
import { type AskedShipment, shipUnits } from './ship-units.ts';
import { campaigns, campaignTable, openCampaign, traceTable, traceUnits } from './trace.ts';

/** What quality asks and commands, besides the facts of the floor. */
import type { Workers } from './workers.ts';

export interface QualityActions {
  photos: Photos;
  /** The limits of a check's item are right by `edition` of the code in force: a set-up of their own from now on. */
  confirmLimits(plant: string, check: string, item: string, edition: unknown, by: Identity): Promise<SetupReply>;
  /** So are the figures of a unit's labels. */
  confirmFigures(plant: string, asked: AskedFigures, by: Identity): Promise<SetupReply>;
  /** The release does not stand any more. */
  revokeRelease(plant: string, unit: string, reason: unknown, by: Identity): Promise<FactsReply>;
  /** Units go on a truck; none goes when one of them may not. */
  ship(plant: string, asked: AskedShipment, by: Identity): Promise<FactsReply>;
  /** Units that are released and not shipped, by dealer. */
  shipList(plant: string): Promise<Table>;
  /** Units that have or had the components asked for (`traceSchema`), and where they are now. */
  whichUnits(plant: string, asked: unknown): Promise<TraceReply>;
  whichUnitsTable(plant: string, asked: unknown): Promise<Table>;
  /** Calls in every unit that has what is asked (`campaignSchema`). */
  openCampaign(plant: string, body: unknown, by: Identity): Promise<FactsReply>;
  campaigns(plant: string): Promise<CampaignRow[]>;
  campaignTable(plant: string, campaign: string): Promise<Table>;
  /** What was found most at each station, over the whole log. */
  commonFindings(plant: string): Promise<CommonFindingsReply>;
  rates(plant: string, period: PeriodQuery): Promise<QualityRatesReply>;
  claimsTable(plant: string, period: PeriodQuery): Promise<Table>;
  importClaims(plant: string, text: string, mode: ImportMode, by: Identity): Promise<ImportReply>;
}

export interface QualityParts {
  db: Db;
  recorder: Recorder;
  workers: Workers;
  now(): Instant;
  /** Throws `unknownPlant`. */
  memory(plant: string): Promise<PlantMemory>;
  /** The plant changed otherwise than by a fact. */
  changed(plant: string): void;
}

export function createQuality({ db, recorder, workers, now, memory, changed }: QualityParts): QualityActions {
  return {
    photos: createPhotos(db, now, memory),
    async confirmLimits(plant, check, item, edition, by) {
      const reply = await confirmLimits(db, await memory(plant), { check, item, edition }, by, now());
      changed(plant);
      return reply;
    },
    async confirmFigures(plant, asked, by) {
      const reply = await confirmFigures(db, await memory(plant), asked, by, now());
      changed(plant);
      return reply;
    },
    revokeRelease: async (plant, unit, reason, by) => revokeRelease(await memory(plant), recorder, unit, reason, by, now()),
    ship: async (plant, asked, by) => shipUnits(await memory(plant), recorder, asked, by, now()),
    shipList: async (plant) => shipList(await memory(plant), now()),
    whichUnits: async (plant, asked) => traceUnits(await memory(plant), asked, now()),
    whichUnitsTable: async (plant, asked) => traceTable(await memory(plant), asked, now()),
    openCampaign: async (plant, body, by) => openCampaign(await memory(plant), recorder, body, by, now()),
    campaigns: async (plant) => campaigns(await memory(plant)),
    commonFindings: async (plant) => commonFindings(await memory(plant), now()),
    rates: async (plant, period) => qualityRatesOf(await memory(plant), period, now()),
    claimsTable: async (plant, period) => claimsTable(await memory(plant), period, now()),
    importClaims: async (plant, text, mode, by) => importClaims({ memory: await memory(plant), recorder, workers }, text, mode, by, now()),
    campaignTable: async (plant, campaign) => campaignTable(await memory(plant), campaign, now()),
  };
}
