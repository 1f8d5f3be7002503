import { checksFor } from '../server/core/gates/check.ts';
import { figuresFor } from '../server/core/gates/label-figures.ts';
import type { LabelSetup } from '../server/core/setup/labels.ts';
import { type Check, type CheckItem, isFor, type PartKind } from '../server/core/setup/quality.ts';
import type { Fact } from '../server/core/facts/fact.ts';
import type { ItemResult } from '../server/core/facts/quality-facts.ts';
import { createFindings, type Findings } from './findings.ts';
import { createFactWriter, type FactWriter } from './fact-writer.ts';
import { type Chance, chanceFrom } from './random.ts';
import type { Sim, SimUnit } from './simulate.ts';

/** What inspectors state, with chances of their own, so that the floor runs as it would without them. */
export interface Inspection {
  writer: FactWriter;
  chance: Chance;
  findings: Findings;
}

const SHARE_FAILED = 0.035;
const FAILED_MS = 6 * 60_000;
const FIXED_MS = 3 * 60_000;
const JUST_AFTER_MS = 1;

export function createInspection(seed: number, stated: { facts: Fact[] }): Inspection {
  return { writer: createFactWriter(chanceFrom(seed), 'tablet', stated), chance: chanceFrom(seed + 1), findings: createFindings(chanceFrom(seed + 2)) };
}

/** The unit's work at its station is done: parts are recorded, checks made (one in thirty fails first, is mended and made again), zones closed. */
export function inspect(sim: Sim, simUnit: SimUnit): void {
  const { unit, model, options, station: code } = simUnit;
  const { plant, inspection: { writer, chance } } = sim;
  if (code === null) return;
  const at = sim.instant(JUST_AFTER_MS);
  for (const kind of plant.partKinds ?? []) {
    if (kind.station !== code || !isFor(kind, model, options)) continue;
    writer.state('recordPart', at - FAILED_MS, code, { unit, part: kind.code, number: numberOf(kind, chance), lot: kind.lot ? `L${Math.floor(chance.next() * 900) + 100}` : '' });
  }
  const wanted = checksFor(plant, model, options);
  for (const check of wanted.filter(({ station }) => station === code)) {
    if (chance.next() < SHARE_FAILED) {
      const failing = chance.pick(check.items.filter((item) => item.kind === 'yesNo'));
      const attempt = writer.state('checkResult', at - FAILED_MS, code, { unit, check: check.code, version: check.version, results: resultsOf(check, failing, simUnit, sim) });
      writer.state('fixWork', at - FIXED_MS, code, { unit, work: `${attempt}/${failing.code}`, note: '' });
      // Work in a zone makes the checks of before that look at it due again.
      for (const before of madeBefore(sim, wanted, code).filter(({ zones }) => failing.zone !== null && zones.includes(failing.zone))) {
        writer.state('checkResult', at, code, { unit, check: before.code, version: before.version, results: resultsOf(before, null, simUnit, sim) });
      }
    }
    writer.state('checkResult', at, code, { unit, check: check.code, version: check.version, results: resultsOf(check, null, simUnit, sim) });
  }
  const covers = sim.places.get(code)?.station.covers ?? [];
  if (covers.length > 0) writer.state('coverZones', at, code, { unit, station: code, zones: covers });
}

/** An invented number; a tyre's by the form of 49 CFR 574.5, of a plant code that no maker need have. */
function numberOf({ code, format }: PartKind, chance: Chance): string {
  const digits = String(Math.floor(chance.next() * 1e7)).padStart(7, '0');
  return format === 'dotTin' ? `0XX${digits.slice(0, 6)}${String(1 + (Number(digits) % 52)).padStart(2, '0')}26` : `${code}-${digits}`;
}

function madeBefore({ plant }: Sim, wanted: readonly Check[], code: string): Check[] {
  const order = plant.lines.flatMap(({ stations }) => stations.map((station) => station.code));
  return wanted.filter(({ station }) => order.indexOf(station) < order.indexOf(code));
}

/** Papers and keys are there: said by the office just before the release. */
export function settleItems(sim: Sim, unit: SimUnit): void {
  for (const { code } of sim.plant.releaseItems ?? []) sim.inspection.writer.state('settleItem', sim.instant(JUST_AFTER_MS), 'office', { unit: unit.unit, item: code, settled: true, note: '' });
}

function resultsOf(check: Check, failing: CheckItem | null, unit: SimUnit, { plant, inspection: { chance } }: Sim): ItemResult[] {
  const { labels } = plant;
  return check.items.map((item) => (labels?.weighing.check === check.code && labels.weighing.item === item.code
    ? { item: item.code, value: inventedWeight(labels, unit), judged: true } : { item: item.code, ...valueOf(item, item !== failing, chance) }));
}

/** Pounds on the scale: three quarters of what the build may weigh, a little more for each option, no two serials in a row the same. */
function inventedWeight(labels: LabelSetup, unit: SimUnit): number {
  const gvwr = figuresFor(labels, unit)?.gvwr.lb;
  if (gvwr === undefined) throw new Error(`The demo's labels have no GVWR in pounds for model ${unit.model}`);
  return Math.round(gvwr * 0.74) + 35 * unit.options.length + 5 * (unit.n % 17);
}

/** Limits of the demo are confirmed by nobody, so the inspector judges the reading. */
function valueOf(item: CheckItem, passes: boolean, chance: Chance): Omit<ItemResult, 'item'> {
  if (item.kind === 'yesNo') return { value: passes, judged: null };
  if (item.kind === 'choice') return { value: item.choices.find((choice) => choice.passes === passes)!.text, judged: null };
  const [low, high] = [item.low ?? 0, item.high ?? (item.low ?? 0) * 1.05];
  return { value: Math.round((low + (high - low) * chance.next()) * 10) / 10, judged: passes };
}
