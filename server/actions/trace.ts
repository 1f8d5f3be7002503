import { StationhandError } from '../contract/errors.ts';
import { toWire } from '../contract/fact-wire.ts';
import type { Identity } from '../contract/identity.ts';
import type { FactsReply } from '../contract/replies.ts';
import { BATCH_LIMIT } from '../contract/replies.ts';
import { type CampaignRow, campaignSchema, TRACE_LIMIT, traceQuery, type TraceReply, traceSchema } from '../contract/trace.ts';
import type { FoldedUnit } from '../core/facts/fold-unit.ts';
import type { Plant } from '../core/setup/plant.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Cell, Column, ColumnType, Table } from '../core/tables/table.ts';
import { type TraceRow, whichUnits } from '../core/trace/which-units.ts';
import type { Instant } from '../core/units.ts';
import { officeFacts } from './office-facts.ts';
import type { PlantMemory } from './plant-memory.ts';
import type { Recorder } from './record-facts.ts';

/** Units that have or had the components asked for, and where they are now. Throws `malformedQuery`. */
export function traceUnits(memory: PlantMemory, asked: unknown, at: Instant): TraceReply {
  const plant = plantOf(memory, at);
  const read = traceSchema.safeParse(asked);
  if (!read.success) {
    const [issue] = read.error.issues;
    throw new StationhandError('malformedQuery', { what: `${issue?.path.join('.') || 'The question'} ${issue?.message ?? 'is malformed'}.`, where: issue?.path.join('.') || 'the address' });
  }
  const units = [...memory.units.values()].filter(({ state }) => state.known).map((unit) => ({ state: unit.state, built: builtAt(plant, unit) }));
  const rows = whichUnits(units, traceQuery(read.data, plant.timeZone));
  return { rows: rows.slice(0, TRACE_LIMIT), left: Math.max(0, rows.length - TRACE_LIMIT) };
}

/** When the unit left a main line last. */
function builtAt(plant: Plant, { state, history }: FoldedUnit): Instant | null {
  const main = new Set(plant.lines.filter(({ purpose }) => purpose === 'main').map(({ code }) => code));
  if (state.place?.line && main.has(state.place.line)) return null;
  return history.stays.reduce<Instant | null>((latest, { line, left }) => (left !== null && main.has(line) ? Math.max(latest ?? 0, left) : latest), null);
}

/** Opens a campaign on every unit that has now, not had, what is asked. Throws `malformedBody`, `malformedQuery`. */
export async function openCampaign(memory: PlantMemory, recorder: Recorder, body: unknown, by: Identity, now: Instant): Promise<FactsReply> {
  const read = campaignSchema.safeParse(body);
  if (!read.success) throw new StationhandError('malformedBody', { what: `${read.error.issues[0]?.path.join('.') || 'The body'} ${read.error.issues[0]?.message ?? 'is malformed'}.`, where: 'the body' });
  const { code: campaign, title, steps, of } = read.data;
  const units = [...new Set(traceUnits(memory, of, now).rows.filter(({ removed }) => removed === null).map(({ unit }) => unit))];
  if (units.length === 0 || units.length > BATCH_LIMIT) throw new StationhandError('malformedBody', { what: `The campaign is over ${units.length} units; 1 to ${BATCH_LIMIT} can be called in at once.`, where: 'of' });
  const next = officeFacts(by, now);
  return recorder.record(memory.code, units.map((unit) => toWire({ ...next(), kind: 'openCampaign', unit, campaign, title, steps })));
}

/** Every campaign with its units, the one opened last first. */
export function campaigns(memory: PlantMemory): CampaignRow[] {
  const rows = new Map<string, CampaignRow>();
  for (const { state } of memory.units.values()) {
    for (const { campaign, title, opened, steps } of state.campaigns) {
      const row = rows.get(campaign) ?? { campaign, title, opened, done: 0, units: [] };
      const where = state.place ? `${state.place.station} ${state.place.slot}`.trim() : null;
      row.units.push({ unit: state.unit, vin: state.vin, stage: state.stage, where, dealer: state.dealer, shipped: state.shipped, steps });
      row.opened = Math.min(row.opened, opened);
      if (steps.every(({ done }) => done !== null)) row.done++;
      rows.set(campaign, row);
    }
  }
  for (const { units } of rows.values()) units.sort((a, b) => (a.unit < b.unit ? -1 : 1));
  return [...rows.values()].sort((a, b) => b.opened - a.opened || (a.campaign < b.campaign ? -1 : 1));
}

const column = (type: ColumnType, ...names: string[]): Column[] => names.map((name) => ({ name, type }));

export function traceTable(memory: PlantMemory, asked: unknown, at: Instant): Table {
  const { timeZone } = plantOf(memory, at);
  return {
    title: 'Which units', timeZone,
    columns: [...column('text', 'part', 'number', 'lot', 'serial', 'vin', 'model'), ...column('instant', 'fitted', 'removed'), ...column('text', 'taken_from', 'taken_for'), ...column('instant', 'built'), ...column('text', 'stage', 'where'), ...column('instant', 'shipped'), ...column('text', 'dealer', 'truck')],
    rows: traceUnits(memory, asked, at).rows.map((row: TraceRow): Cell[] => [row.part, row.number, row.lot, row.unit, row.vin, row.model, row.fitted, row.removed, row.takenFrom, row.takenFor, row.built, row.stage, row.where, row.shipped, row.dealer, row.carrier]),
  };
}

/** One line a step of a unit, signed or not. */
export function campaignTable(memory: PlantMemory, code: string, at: Instant): Table {
  const { timeZone } = plantOf(memory, at);
  const row = campaigns(memory).find(({ campaign }) => campaign === code);
  if (!row) throw new StationhandError('malformedQuery', { what: `There is no campaign ${code}.`, where: 'the address' });
  return {
    title: row.title.slice(0, 30), timeZone,
    columns: [...column('text', 'campaign', 'serial', 'vin', 'stage', 'where', 'dealer'), ...column('instant', 'shipped'), ...column('text', 'step'), ...column('instant', 'signed'), ...column('text', 'by', 'note')],
    rows: row.units.flatMap((unit) => unit.steps.map(({ text, done }): Cell[] => [code, unit.unit, unit.vin, unit.stage, unit.where, unit.dealer, unit.shipped, text, done?.at ?? null, done?.who ?? null, done?.note ?? null])),
  };
}

function plantOf(memory: PlantMemory, at: Instant): Plant {
  const plant = setupAt(memory.setups, at)?.plant;
  if (!plant) throw new StationhandError('unknownPlant');
  return plant;
}
