import { describe, expect, it } from 'vitest';
import { lineStateAt } from '../../../server/core/delay/line-state.ts';
import { projectLine } from '../../../server/core/delay/projection.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import { clearBy } from '../../../server/core/forecast/clear-by.ts';
import { compileLine } from '../../../server/core/forecast/compile-line.ts';
import { constantTable } from '../../../server/core/forecast/draw-table.ts';
import type { ForecastInput } from '../../../server/core/forecast/forecast-input.ts';
import { forecastOfLine, type ForecastSetting } from '../../../server/core/forecast/forecast-of-line.ts';
import { run } from '../../../server/core/forecast/run.ts';
import { summarize } from '../../../server/core/forecast/summary.ts';
import type { Line, Plant, Station } from '../../../server/core/setup/plant.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, MONDAY, registered, setupOf } from '../../support/given.ts';
import { forecastStage, mean } from '../../support/given-forecast.ts';

interface More { roll?: Line['roll']; stations?: Partial<Station>[]; plant?: Partial<Plant>; setting?: Partial<ForecastSetting> }

const units = (count: number, pace: number): Fact[] => Array.from({ length: count }, (_, i) => registered(`U${i + 1}`, { sequence: i, plannedRelease: minute(i * pace) }));

function inputAt(facts: Fact[], now: number, more: More = {}): { input: ForecastInput; planned: Record<string, number> } {
  const stations = ['S1', 'S2', 'S3'].map((code, i) => aStation(code, more.stations?.[i]));
  const setups = setupOf(aPlant(aLine(stations, { roll: more.roll ?? 'asReady' }), { S1: 25, S2: 30, S3: 20 }, more.plant));
  const history = lineHistoryOf('MAIN', setups, facts);
  const visits = deriveVisits(history, minute(now));
  const setting = { stages: [], mending: [], openShorts: new Map(), promises: new Map(), beyond: [], ...more.setting };
  const input = forecastOfLine(history, visits, lineStateAt(history, visits, minute(now))!, minute(now), setting);
  return { input, planned: Object.fromEntries(projectLine(history, visits, minute(now)).map(({ unit, exit }) => [unit, (exit - MONDAY) / 60_000])) };
}

/** The medians of ready to ship, in minutes from Monday. */
function medians(input: ForecastInput): Record<string, number> {
  const compiled = compileLine(input);
  return Object.fromEntries(summarize(compiled, run(compiled, 1, 200)).map(({ unit, p50 }) => [unit, (p50 - MONDAY) / 60_000]));
}

describe('forecastOfLine without history', () => {
  const onTheLine: Fact[] = [
    ...units(4, 30), at(0, 'arrive', { unit: 'U1', station: 'S1' }), at(25, 'arrive', { unit: 'U1', station: 'S2' }), at(30, 'arrive', { unit: 'U2', station: 'S1' }),
  ];

  it('is the projection at standard: before the first unit, in mid-work, with a unit off the line', () => {
    const pulledOff = [...onTheLine, at(35, 'pullOff', { unit: 'U1', reason: 'Leak', to: null })];
    for (const [facts, now] of [[units(4, 30), 0], [onTheLine, 43], [pulledOff, 43]] as const) {
      const { input, planned } = inputAt([...facts], now);
      expect(medians(input)).toEqual(planned);
      expect(Object.keys(planned).length).toBeGreaterThan(2);
    }
  });

  it('is it on a line that rolls together, and with two places at a station', () => {
    for (const more of [{ roll: 'together' as const }, { stations: [{}, { capacity: 2 }, {}] }, { stations: [{}, { capacity: null, placeLength: 17 }, {}] }]) {
      const { input, planned } = inputAt(onTheLine, 43, more);
      expect(medians(input)).toEqual(planned);
    }
  });

  it('goes on after the line through the stages, for units past it too', () => {
    const setting: Partial<ForecastSetting> = {
      stages: [forecastStage('PDI', { capacity: 1, minutes: constantTable(15) })], beyond: [{ unit: 'U9', stage: { code: 'PDI', standing: true, worked: 5 } }],
      mending: [40], openShorts: new Map([['U1', 1]]), promises: new Map([['U1', minute(100)]]),
    };
    const { input } = inputAt(onTheLine, 43, { setting });
    expect(medians(input)).toMatchObject({ U9: 53, U1: 90 });
    const compiled = compileLine({ ...input, stages: input.stages.map((stage) => ({ ...stage, mends: true })) });
    const [, first] = summarize(compiled, run(compiled, 1, 50));
    expect([first!.unit, (first!.p50 - MONDAY) / 60_000, first!.missing]).toEqual(['U1', 130, 1]);
  });

  it('gives a station with a calendar of its own one, and a line without such stations none', () => {
    expect(inputAt(onTheLine, 43).input.stations.map(({ calendar }) => calendar)).toEqual([null, null, null]);
    const { input } = inputAt(onTheLine, 43, { stations: [{}, { calendar: 'always' }, {}] });
    expect(input.stations.map(({ calendar }) => calendar !== null)).toEqual([false, true, false]);
    expect(medians(input)).toEqual(medians(inputAt(onTheLine, 43).input));
    const gone = [...onTheLine, at(40, 'goneHome', { line: null, station: 'S3' })];
    expect(inputAt(gone, 43).input.stations.map(({ calendar }) => calendar !== null)).toEqual([false, false, true]);
  });
});

describe('forecastOfLine with history', () => {
  /** Ten units one after the other, each 37.5 minutes at station 1 (half over standard) and gone at once, held 20 minutes for a missing part every second time. */
  const past: Fact[] = Array.from({ length: 10 }, (_, i) => {
    const [unit, from] = [`P${i}`, -1_000 + 100 * i];
    const facts: Fact[] = [registered(unit, { sequence: -100 + i }), at(from, 'arrive', { unit, station: 'S1' })];
    const held = i % 2 === 0 ? 20 : 0;
    if (held > 0) {
      const hold = at(from + 5, 'openHold', { unit, reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' });
      facts.push(hold, at(from + 25, 'clearHold', { unit, hold: hold.id, note: '' }));
    }
    facts.push(at(from + 37.5 + held, 'finish', { unit, station: 'S1' }), at(from + 37.5 + held, 'leave', { unit, station: 'S1' }), at(from + 41 + held, 'cancel', { unit, reason: 'Order withdrawn' }));
    return facts;
  }).flat();

  it('draws the ratio, the holds and their length that the station saw', () => {
    const { draws } = inputAt([...past, ...units(1, 0)], 0).input.stations[0]!;
    expect(mean([...draws.ratios])).toBeCloseTo(1.5, 9);
    expect(draws.holds.rate).toBeCloseTo(0.5, 9);
    expect(new Set(draws.holds.minutes)).toEqual(new Set([20]));
  });

  it('draws what is left of an open hold from those of its reason, and says by when it must be cleared', () => {
    const facts = [...past, ...units(1, 0), at(0, 'arrive', { unit: 'U1', station: 'S1' }), at(8, 'openHold', { unit: 'U1', reason: 'Part missing', keepsFrom: 'leaving', fromStation: null, note: '' })];
    const { input } = inputAt(facts, 20, { setting: { promises: new Map([['U1', minute(600)]]) } });
    const [unit] = input.units;
    expect(unit!.holds.map(({ keepsFrom, left }) => [keepsFrom, ...new Set(left)])).toEqual([['leaving', 8]]);
    expect(unit!.worked).toBe(20);
    const { latest } = clearBy(compileLine(input), 1, 400)[0]!;
    // Stations 2 and 3 draw as the line does, so half over standard: 75 minutes and perhaps a hold of 20 at each.
    expect((latest! - MONDAY) / 60_000).toBeLessThanOrEqual(600 - 75);
    expect((latest! - MONDAY) / 60_000).toBeGreaterThan(600 - 75 - 45);
  });

  it('leaves out a hold that was cleared, and one that opens later', () => {
    const hold = at(3, 'openHold', { unit: 'U1', reason: 'Leak', keepsFrom: 'work', fromStation: null, note: '' });
    const facts = [...units(1, 0), at(0, 'arrive', { unit: 'U1', station: 'S1' }), hold, at(6, 'clearHold', { unit: 'U1', hold: hold.id, note: '' })];
    expect(inputAt(facts, 10).input.units[0]!.holds).toEqual([]);
    expect(inputAt(facts, 10).input.units[0]!.worked).toBe(7);
    expect(inputAt(facts, 5).input.units[0]!.holds.length).toBe(1);
  });
});
