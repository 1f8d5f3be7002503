import { parseArgs } from 'node:util';
import { instant } from './contract/shapes.ts';
import { type WorkingTime, workingTimeOf } from './core/calendar/working-time.ts';
import { lineDelay, type LineDelay } from './core/delay/line-delay.ts';
import { projectLine } from './core/delay/projection.ts';
import type { Fact } from './core/facts/fact.ts';
import type { Flag } from './core/facts/flag.ts';
import { foldPlaces } from './core/facts/fold-places.ts';
import { foldUnits, lineHistoryOf } from './core/facts/line-history-of.ts';
import type { SetupVersion } from './core/setup/plant.ts';
import { lateness } from './core/late.ts';
import { identifiedAs } from './core/facts/identified-as.ts';
import { unknownVoids } from './core/facts/unknown-voids.ts';
import { effectiveFacts } from './core/facts/voids.ts';
import { deriveVisits } from './core/timeline/derive-visits.ts';
import { fullArrivals, scansOutsideWorkingTime } from './core/timeline/line-flags.ts';
import { occupancyOf } from './core/timeline/occupancy.ts';
import { stationTime } from './core/timeline/station-time.ts';
import { UnusableFile } from './read-file.ts';
import { ReplayError, readFacts, readPlant, readUnits } from './replay-files.ts';

const USAGE = 'Usage: npm run replay -- --plant plant.json --units units.csv --facts facts.jsonl --at INSTANT [--from INSTANT]';
const WEEK = 7 * 86_400_000;

function instantArgument(name: string, value: string): number {
  const t = instant.safeParse(value).data;
  if (t === undefined) throw new ReplayError(`--${name} ${value} is not an instant such as 2026-11-25T15:00:00Z. ${USAGE}`);
  return t;
}

function argumentsOf(argv: string[]): { plant: string; units: string; facts: string; at: number; from: number } {
  const text = { type: 'string' } as const;
  let values: Record<string, string | undefined>;
  try {
    ({ values } = parseArgs({ args: argv, options: { plant: text, units: text, facts: text, at: text, from: text } }));
  } catch (error) {
    throw new ReplayError(`${(error as Error).message}. ${USAGE}`);
  }
  const given = (name: string): string => {
    const value = values[name];
    if (!value) throw new ReplayError(`--${name} is missing. ${USAGE}`);
    return value;
  };
  const files = { plant: given('plant'), units: given('units'), facts: given('facts') };
  const at = instantArgument('at', given('at'));
  const from = values['from'] ? instantArgument('from', values['from']) : at - WEEK;
  if (from >= at) throw new ReplayError('--from must be before --at.');
  return { ...files, at, from };
}

const iso = (t: number | null): string | null => (t === null || !Number.isFinite(t) ? null : new Date(t).toISOString());

/** Line delay of [from, at) with its instants as text. */
function onWire({ line: _, from: __, to: ___, causes, ...delay }: LineDelay): unknown {
  return { ...delay, causes: causes.map((cause) => ({ ...cause, began: iso(cause.began) })) };
}

/** The day told from its files alone: visits with their minutes, starved and idle minutes, line delay, projected exits, late units, flags. */
function replay(argv: string[]): unknown {
  const { plant: plantFile, units, facts: factsFile, at, from } = argumentsOf(argv);
  const plant = readPlant(plantFile);
  const setups = [{ version: 1, validFrom: 0, plant }];
  const facts = [...readUnits(units, plant), ...readFacts(factsFile)].filter((fact) => fact.happened <= at);
  const folded = foldUnits(facts, setups);
  const lines = plant.lines.map(({ code }) => {
    const history = lineHistoryOf(code, setups, facts);
    const visits = deriveVisits(history, at);
    const told = visits.filter((visit) => visit.notScanned || (visit.left ?? at) > from);
    return {
      line: code,
      visits: told.map((visit) => ({ ...visit, arrived: iso(visit.arrived), finished: iso(visit.finished), left: iso(visit.left) })),
      stations: stationTime(history, from, at),
      lineDelay: onWire(lineDelay(history, from, at)),
      projected: projectLine(history, visits, at).map(({ unit, exit }) => ({ unit, exit: iso(exit), leaves: exit })),
    };
  });
  const time = workingTimeOf(setups, { line: null, station: null }, foldPlaces(facts, setups).floorTime);
  const late = [...folded.values()].flatMap(({ state }) => {
    if (state.promise === null || !state.known || state.shipped !== null || state.cancelled !== null) return [];
    const exits = lines.flatMap((line) => line.projected.filter(({ unit }) => unit === state.unit).map(({ leaves }) => leaves));
    const ready = state.released ?? Math.max(at, ...exits);
    const told = lateness(state.promise, plant.timeZone, ready, time);
    return told.late ? [{ unit: state.unit, promise: state.promise, firstPromise: state.firstPromise, stage: state.stage, ready: iso(ready), ...told, due: iso(told.due) }] : [];
  });
  late.sort((a, b) => b.minutesLate - a.minutesLate);
  const flags = flagsOf(facts, setups, [...folded.values()].flatMap((unit) => unit.flags), at);
  return { at: iso(at), from: iso(from), lines: lines.map((line) => ({ ...line, projected: line.projected.map(({ unit, exit }) => ({ unit, exit })) })), late, flags };
}

/** `ofUnits` and every other flag: of stations and lines, of voids, and those that only the line as a whole can tell. */
function flagsOf(facts: readonly Fact[], setups: readonly SetupVersion[], ofUnits: readonly Flag[], at: number): Flag[] {
  const { flags, floorTime } = foldPlaces(facts, setups);
  const counting = effectiveFacts(facts);
  const identified = identifiedAs(counting);
  const times = new Map<string, WorkingTime>();
  const timeOf = (line: string, station: string): WorkingTime => {
    const time = times.get(station) ?? workingTimeOf(setups, { line, station }, floorTime);
    times.set(station, time);
    return time;
  };
  const full = setups[0]!.plant.lines.flatMap(({ code }) => fullArrivals(occupancyOf(lineHistoryOf(code, [...setups], facts), at)));
  const outside = counting.flatMap((fact) => ('unit' in fact ? scansOutsideWorkingTime(identified.get(fact.unit) ?? fact.unit, [fact], setups, timeOf) : []));
  return [...ofUnits, ...flags, ...unknownVoids(facts), ...full, ...outside];
}

try {
  process.stdout.write(`${JSON.stringify(replay(process.argv.slice(2)), null, 2)}\n`);
} catch (error) {
  if (!(error instanceof UnusableFile)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 2;
}
