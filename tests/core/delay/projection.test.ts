import { describe, expect, it } from 'vitest';
import { projectLine } from '../../../server/core/delay/projection.ts';
import type { Fact } from '../../../server/core/facts/fact.ts';
import { lineHistoryOf } from '../../../server/core/facts/line-history-of.ts';
import type { Line } from '../../../server/core/setup/plant.ts';
import { deriveVisits } from '../../../server/core/timeline/derive-visits.ts';
import { aLine, aPlant, aStation, at, minute, MONDAY, registered, setupOf } from '../../support/given.ts';

const units = (count: number, pace: number): Fact[] => Array.from({ length: count }, (_, i) => registered(`U${i + 1}`, { sequence: i, plannedRelease: minute(i * pace) }));

/** Exits at standard, in minutes, of the worked examples of definitions §5: three stations of 25, 30 and 20 minutes. */
function exits(facts: Fact[], at: number, more: { roll?: Line['roll']; capacity?: number[]; standards?: Record<string, number> } = {}): Record<string, number> {
  const stations = ['S1', 'S2', 'S3'].map((code, i) => aStation(code, { capacity: more.capacity?.[i] ?? 1 }));
  const setups = setupOf(aPlant(aLine(stations, { roll: more.roll ?? 'asReady' }), more.standards ?? { S1: 25, S2: 30, S3: 20 }));
  const history = lineHistoryOf('MAIN', setups, facts);
  const now = minute(at);
  return Object.fromEntries(projectLine(history, deriveVisits(history, now), now).map(({ unit, exit }) => [unit, (exit - MONDAY) / 60_000]));
}

describe('projectLine on a line that moves as ready', () => {
  it('plans the worked examples: four units at pace 30, five at pace 40', () => {
    expect(exits(units(4, 30), 0)).toEqual({ U1: 75, U2: 105, U3: 135, U4: 165 });
    expect(exits(units(5, 40), 0)).toEqual({ U1: 75, U2: 115, U3: 155, U4: 195, U5: 235 });
  });

  it('gives a unit without a planned release one pace after the one before', () => {
    const facts = [registered('U1', { sequence: 1, plannedRelease: minute(10) }), registered('U2', { sequence: 2 }), registered('U3', { sequence: 3 })];
    expect(exits(facts, 0)).toEqual({ U1: 85, U2: 115, U3: 145 });
  });

  it('goes on from the state of the line: work so far counts, an open hold ends now', () => {
    // Unit 1 stands at station 2 since 25, held since 30 and until now, 43: 5 of 30 minutes are done.
    const facts = [
      ...units(2, 30), at(0, 'arrive', { unit: 'U1', station: 'S1' }), at(25, 'arrive', { unit: 'U1', station: 'S2' }), at(30, 'arrive', { unit: 'U2', station: 'S1' }),
      at(30, 'openHold', { unit: 'U1', reason: 'Part missing', keepsFrom: 'work', fromStation: null, note: '' }),
    ];
    // Unit 1: 43 + 25 at station 2, 20 at station 3. Unit 2 is finished at 55, waits for the place until 68, and is off at 118.
    expect(exits(facts, 43)).toEqual({ U1: 88, U2: 118 });
  });

  it('lets a station of two places take two, and a blocked unit wait for the first to leave', () => {
    const facts = units(3, 0);
    // One place: 25, 55, 75; the second is blocked at station 1 until 55. Two places at station 2: it comes at 50 and waits for station 3 only.
    expect(exits(facts, 0)).toEqual({ U1: 75, U2: 105, U3: 135 });
    expect(exits(facts, 0, { capacity: [1, 2, 1] })).toEqual({ U1: 75, U2: 100, U3: 125 });
  });

  it('brings a unit off the line back to its next station behind those that passed it', () => {
    const facts = [
      ...units(2, 10), at(0, 'arrive', { unit: 'U1', station: 'S1' }), at(5, 'pullOff', { unit: 'U1', reason: 'Leak', to: null }),
      at(10, 'arrive', { unit: 'U2', station: 'S1' }), at(35, 'arrive', { unit: 'U2', station: 'S2' }),
    ];
    expect(exits(facts, 40)).toEqual({ U2: 85, U1: 115 });
  });

  it('leaves out units that are shipped, cancelled or past the line', () => {
    const facts = [...units(3, 30), at(1, 'cancel', { unit: 'U2', reason: 'Order withdrawn' }), at(2, 'arrive', { unit: 'U1', station: 'S3' }), at(30, 'park', { unit: 'U1', place: 'YARD', slot: '' })];
    expect(Object.keys(exits(facts, 40))).toEqual(['U3']);
  });
});

describe('projectLine on a line that rolls together', () => {
  it('rolls at the latest finish and planned release; all move at the roll', () => {
    // Rolls at 0 (unit 1 enters), 30 (unit 2), 60 = 30 + 30, 90, then nothing enters: 110 = 90 + 20 and so on.
    expect(exits(units(2, 30), 0, { roll: 'together' })).toEqual({ U1: 90, U2: 110 });
  });
});
