import { StationhandError } from '../contract/errors.ts';
import { toWire } from '../contract/fact-wire.ts';
import type { Identity } from '../contract/identity.ts';
import { daysOf, type PeriodQuery } from '../contract/period-query.ts';
import type { QualityRatesReply } from '../contract/quality-rates.ts';
import type { ImportMode, ImportProblem, ImportReply } from '../contract/replies.ts';
import { localOf } from '../core/calendar/zone.ts';
import { claimsBack } from '../core/rates/claims-back.ts';
import { paretoOrder } from '../core/rates/pareto.ts';
import { qualityRates } from '../core/rates/quality-rates.ts';
import type { Plant } from '../core/setup/plant.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Cell, Column, ColumnType, Table } from '../core/tables/table.ts';
import type { Instant } from '../core/units.ts';
import { officeFacts } from './office-facts.ts';
import { vinsOf } from './offered-vin.ts';
import type { PlantMemory } from './plant-memory.ts';
import { type ImportParts, namedProblems, readClaimsCsv } from './read-import.ts';

const FACTS_A_BATCH = 500;

/** Yields, defects and claims of a period, by the checks of the set-up in force. */
export function qualityRatesOf(memory: PlantMemory, period: PeriodQuery, at: Instant): QualityRatesReply {
  const plant = plantOf(memory, at);
  const { first, last } = daysOf(period, localOf(plant.timeZone, at).date);
  const units = [...memory.units.values()].filter(({ state }) => state.known);
  const claims = units.flatMap(({ state, history }) => (state.claims.length > 0 ? claimsBack(plant, state, history.stays) : []))
    .filter(({ claimed }) => claimed >= first && claimed <= last).sort((a, b) => (a.claimed < b.claimed ? 1 : a.claimed > b.claimed ? -1 : a.claim < b.claim ? -1 : 1));
  const counted = (labels: readonly string[]): QualityRatesReply['claimsByStation'] =>
    paretoOrder([...new Set(labels)].map((label) => ({ label, amount: labels.filter((one) => one === label).length })));
  return {
    first, last, ...qualityRates(units.map(({ state }) => state), plant, first, last), claims,
    claimsByStation: counted(claims.map(({ ledTo }) => ledTo ?? '')), claimsByCheck: counted(claims.flatMap(({ checks }) => (checks.length > 0 ? checks : ['']))),
  };
}

/** Takes dealers' claims, by VIN. `check` records nothing, `all` only when every row is good, `good` the good rows; a claim taken before is put right by its number. */
export async function importClaims({ memory, recorder, workers }: ImportParts, text: string, mode: ImportMode, by: Identity, now: Instant): Promise<ImportReply> {
  const plant = plantOf(memory, now);
  const { rows, problems: unread } = await readClaimsCsv(workers, text, plant);
  const unmatched: ImportProblem[] = [];
  const vins = vinsOf(memory);
  const named = rows.flatMap(({ line, vin, ...row }) => {
    const units = vins.get(vin) ?? [];
    if (units.length === 1) return [{ unit: units[0]!, ...row }];
    unmatched.push({ line, column: 'vin', message: units.length === 0 ? `no unit has the VIN ${vin}` : `${units.join(' and ')} have the VIN ${vin}` });
    return [];
  });
  const problems = namedProblems([...unread, ...unmatched]);
  if (mode === 'check' || (mode === 'all' && problems.length > 0)) return { mode, good: named.length, imported: 0, problems, version: memory.version };
  const next = officeFacts(by, now);
  const facts = named.map((row) => toWire({ ...next(), kind: 'dealerClaim', ...row }));
  let version = memory.version;
  for (let first = 0; first < facts.length; first += FACTS_A_BATCH) version = (await recorder.record(memory.code, facts.slice(first, first + FACTS_A_BATCH))).version;
  return { mode, good: named.length, imported: named.length, problems, version };
}

const column = (type: ColumnType, ...names: string[]): Column[] => names.map((name) => ({ name, type }));

/** The claims of the period with where they lead back to. */
export function claimsTable(memory: PlantMemory, period: PeriodQuery, at: Instant): Table {
  return {
    title: 'Claims', timeZone: plantOf(memory, at).timeZone,
    columns: [...column('text', 'claim', 'serial', 'vin', 'model', 'dealer'), ...column('date', 'claimed'), ...column('text', 'what', 'zone', 'part', 'station', 'week', 'checks')],
    rows: qualityRatesOf(memory, period, at).claims.map((row): Cell[] => [row.claim, row.unit, row.vin, row.model, row.dealer, row.claimed, row.what, row.zone, row.part, row.ledTo, row.week, row.checks.join(' ')]),
  };
}

function plantOf(memory: PlantMemory, at: Instant): Plant {
  const plant = setupAt(memory.setups, at)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  return plant;
}
