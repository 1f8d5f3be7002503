import type { WorkingTime } from '../calendar/working-time.ts';
import type { Fact } from '../facts/fact.ts';
import type { Flag } from '../facts/flag.ts';
import type { SetupVersion } from '../setup/plant.ts';
import { findStation, setupAt } from '../setup/setup-at.ts';
import type { Instant } from '../units.ts';
import type { Occupancy } from './occupancy.ts';

/*
 * Flags that a unit's own facts cannot tell: they depend on who else stood at the station, and on what the floor said of the day. Like
 * the minutes of a line they are derived whenever they are asked for, and kept in no table.
 */

/** Every arrival of the line that found its station full (definitions §3); `detail` is the unit whose stay it ended, or '' where none was finished. */
export function fullArrivals({ full }: Occupancy): Flag[] {
  return full.map(({ stay, ended }) => ({ fact: stay.arrivedBy, code: 'stationFull', unit: stay.unit, station: stay.station, detail: ended ?? '' }));
}

/**
 * Scans of `unit` at stations of a line while nobody should have been working (definitions §1): the floor is asked whether the line is
 * working, and its answer (open until) takes the flag away. A break is no such time. `counting` are facts that count for the unit.
 */
export function scansOutsideWorkingTime(
  unit: string, counting: readonly Fact[], setups: readonly SetupVersion[], timeOf: (line: string, station: string) => WorkingTime,
): Flag[] {
  return counting.flatMap((fact): Flag[] => {
    if (!isScan(fact)) return [];
    const plant = setupAt(setups, fact.happened)?.plant;
    const line = plant && findStation(plant, fact.station)?.line;
    if (!line || isManned(timeOf(line.code, fact.station), fact.happened)) return [];
    return [{ fact: fact.id, code: 'outsideWorkingTime', unit, station: fact.station, detail: '' }];
  });
}

/** What states that work goes on; a walk may well go round when nobody works. */
function isScan(fact: Fact): fact is Extract<Fact, { kind: 'arrive' | 'finish' | 'leave' | 'leaveShort' | 'putBack' }> {
  return ['arrive', 'finish', 'leave', 'leaveShort', 'putBack'].includes(fact.kind);
}

/** Working, or in a break after which the shift goes on. */
function isManned(time: WorkingTime, t: Instant): boolean {
  if (time.isWorking(t)) return true;
  const shift = time.shiftAt(t);
  return shift !== null && time.stretches(t, shift.end).length > 0;
}
