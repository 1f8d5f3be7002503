import { checkVersion, judgeCheck, limitJudges } from '../gates/check.ts';
import { labelSigned } from '../gates/label-signed.ts';
import type { Plant, SetupVersion } from '../setup/plant.ts';
import type { Check } from '../setup/quality.ts';
import type { Fact } from './fact.ts';
import type { Flag } from './flag.ts';
import { evolveWork, isWorkFact, photosWith } from './evolve-work.ts';
import { type Change, flagOf, noChange } from './movement.ts';
import { campaignOpened, claimed, stepSigned } from './evolve-campaigns.ts';
import { partRecorded, partRemoved } from './evolve-parts.ts';
import type { CheckResult, OverrideGate, QualityFact } from './quality-facts.ts';
import type { BreachState, CheckState, WorkState } from './quality-state.ts';
import type { UnitState } from './unit-state.ts';

const QUALITY_KINDS: readonly Fact['kind'][] = [
  'findWork', 'fixWork', 'verifyWork', 'reopenWork', 'coverZones', 'uncoverZones', 'checkResult', 'recordPart', 'removePart', 'overrideGate', 'settleItem', 'openCampaign', 'signStep', 'dealerClaim',
];

export function isQualityFact(fact: Fact): fact is QualityFact {
  return QUALITY_KINDS.includes(fact.kind);
}

/** Open work, covered zones, checks, parts, and what settles a gate (definitions §8). */
export function evolveQuality(state: UnitState, fact: QualityFact, plant: Plant | null, setups: readonly SetupVersion[]): Change {
  if (isWorkFact(fact)) return evolveWork(state, fact, plant);
  switch (fact.kind) {
    case 'checkResult': return checked(state, fact, plant, setups);
    case 'recordPart': return partRecorded(state, fact, plant);
    case 'removePart': return partRemoved(state, fact, plant);
    case 'openCampaign': return campaignOpened(state, fact);
    case 'signStep': return stepSigned(state, fact);
    case 'dealerClaim': return claimed(state, fact);
    case 'overrideGate': return overridden(state, fact);
    case 'settleItem': {
      const others = state.settled.filter((code) => code !== fact.item);
      const known = plant?.releaseItems?.some(({ code }) => code === fact.item) ?? false;
      return { ...noChange({ ...state, settled: fact.settled ? [...others, fact.item].sort() : others }), flags: known ? [] : [flagOf(fact, state, 'unknownTarget', fact.item)] };
    }
  }
}

/** One attempt: what failed opens work, what passes after it was fixed verifies it; a pass settles having left without one. */
function checked(state: UnitState, fact: CheckResult, plant: Plant | null, setups: readonly SetupVersion[]): Change {
  const found = checkVersion(plant, setups, fact.check, fact.version);
  if (!found) return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', `${fact.check} ${fact.version}`)] };
  const { check, old } = found;
  const flags: Flag[] = old ? [flagOf(fact, state, 'oldVersion', `${fact.check} ${fact.version}`)] : [];
  const strange = fact.results.filter(({ item }) => !check.items.some(({ code }) => code === item));
  flags.push(...strange.map(({ item }) => flagOf(fact, state, 'unknownTarget', `${fact.check}/${item}`)));
  const { outcome, items } = judgeCheck(check, fact.results);
  const before = state.checks.find((one) => one.check === check.code);
  const checks = [...state.checks.filter((one) => one !== before), attempt(before, fact, outcome, limitJudges(check))];
  const done = { at: fact.happened, who: fact.who };
  let work = state.work;
  for (const { item, outcome: said } of items) {
    if (said === 'failed') work = failedItem(work, fact, check, item);
    if (said === 'passed') work = work.map((one) => (isOf(one, check, item.code) && one.status === 'fixed' ? { ...one, status: 'verified' as const, verified: done } : one));
  }
  const settled = { ...done, reason: '' };
  const breaches = outcome === 'passed' ? state.breaches.map((one) => (one.gate === 'check' && one.detail === check.code && !one.settled ? { ...one, settled } : one)) : state.breaches;
  return { ...noChange(withLabels({ ...state, checks, work, breaches }, fact, check, items, plant)), flags };
}

/** What the attempt says of the unit's labels: what it weighs, then which of them are fitted with the figures that follow from it. */
function withLabels(state: UnitState, { happened: at, who, results }: CheckResult, check: Check, items: ReturnType<typeof judgeCheck>['items'], plant: Plant | null): UnitState {
  if (!plant?.labels) return state;
  const { weighing } = plant.labels;
  let next = state;
  for (const { item, outcome } of items) {
    const value = results.findLast((result) => result.item === item.code)?.value;
    if (outcome !== 'passed' || weighing.check !== check.code || weighing.item !== item.code || item.kind !== 'measured' || typeof value !== 'number') continue;
    next = { ...next, weighed: { weight: item.unit === 'kg' ? { kg: value } : { lb: value }, at, who } };
  }
  for (const { item: { label }, outcome } of items) {
    if (label === undefined || (outcome !== 'passed' && outcome !== 'failed')) continue;
    const others = next.labels.filter((one) => one.label !== label);
    next = { ...next, labels: outcome === 'passed' ? [...others, labelSigned(plant, next, label, at, who)] : others };
  }
  return next;
}

/** An attempt that is not complete says nothing: the pass before it stands, as does the failure. */
function attempt(before: CheckState | undefined, fact: CheckResult, outcome: CheckState['outcome'], limits: CheckState['limits']): CheckState {
  const { check, version, happened: at, who } = fact;
  const counts = outcome !== 'incomplete';
  return {
    check, version, at, who, outcome,
    limits: counts ? limits : (before?.limits ?? []),
    attempts: (before?.attempts ?? 0) + (counts ? 1 : 0),
    first: before?.first ?? (counts ? { passed: outcome === 'passed', at } : null),
    passedAt: outcome === 'passed' ? at : outcome === 'failed' ? null : (before?.passedAt ?? null),
    dueAgain: counts ? null : (before?.dueAgain ?? null),
  };
}

function isOf(work: WorkState, check: Check, item: string): boolean {
  return work.ofCheck?.check === check.code && work.ofCheck.item === item;
}

/** Work for a failed item: the one it opened before is open again, if that was not verified; else new work is. */
function failedItem(work: readonly WorkState[], fact: CheckResult, check: Check, item: Check['items'][number]): WorkState[] {
  const open = work.find((one) => isOf(one, check, item.code) && one.status !== 'verified');
  const { spots = [], note = '', photo } = fact.results.findLast((result) => result.item === item.code) ?? {};
  const shown = { spots: spots.length > 0 ? spots : (open?.spots ?? []), note: note || (open?.note ?? ''), photos: photosWith(open?.photos ?? [], photo) };
  if (open) return work.map((one) => (one !== open ? one : one.status === 'fixed' ? { ...one, ...shown, status: 'found', fixed: null, reopened: one.reopened + 1 } : { ...one, ...shown }));
  return [...work, {
    id: `${fact.id}/${item.code}`, what: item.text, zone: item.zone, severity: item.severity, belongsTo: check.station,
    ofCheck: { check: check.code, item: item.code }, found: { at: fact.happened, who: fact.who }, status: 'found', fixed: null, verified: null, reopened: 0, ...shown,
  }];
}

function overridden(state: UnitState, fact: OverrideGate): Change {
  const breach = state.breaches.find(({ id }) => id === fact.breach);
  if (!breach) return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', fact.breach)] };
  if (breach.settled) return { ...noChange(state), flags: [flagOf(fact, state, 'twice', fact.breach)] };
  const settled: BreachState['settled'] = { at: fact.happened, who: fact.who, reason: fact.reason };
  return noChange({ ...state, breaches: state.breaches.map((one) => (one === breach ? { ...one, settled } : one)) });
}
