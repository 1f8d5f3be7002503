import { checksFor } from '../server/core/gates/check.ts';
import type { Severity } from '../server/core/setup/quality.ts';
import type { Chance } from './random.ts';
import type { Sim, SimUnit } from './simulate.ts';

/** What people find on units besides what checks fail, with chances of its own: the floor runs as it would without it. */
export interface Findings {
  /** Work at the unit's station is about to be done: what was found before is fixed and verified in part, and now and then something new is found. */
  atStation(sim: Sim, unit: SimUnit): void;
  /** One of the invented things, by its words, is found on the unit now. */
  find(sim: Sim, unit: SimUnit, what: string): void;
  /** Whatever is left is fixed and verified: the unit is about to be released. */
  closeAll(sim: Sim, unit: SimUnit): void;
}

interface Invented {
  what: string;
  belongsTo: string;
  zone: string | null;
  severity: Severity;
}

interface Open extends Invented {
  id: string;
  fixed: boolean;
}

const INVENTED: readonly Invented[] = [
  { what: 'Weld spatter on the frame', belongsTo: 'CH10', zone: null, severity: 'minor' }, { what: 'Brake wire rubs on the axle', belongsTo: 'CH20', zone: 'UNDER', severity: 'safety' },
  { what: 'Underbelly sheet loose', belongsTo: 'FL10', zone: 'UNDER', severity: 'major' }, { what: 'Tank strap bolt missing', belongsTo: 'TK10', zone: 'UNDER', severity: 'major' },
  { what: 'Pipe clip missing', belongsTo: 'PL10', zone: 'WALLD', severity: 'minor' }, { what: 'Wire not stapled', belongsTo: 'EL10', zone: 'WALLR', severity: 'major' },
  { what: 'Cabinet door out of line', belongsTo: 'CB10', zone: null, severity: 'minor' }, { what: 'Drawer does not latch', belongsTo: 'CB20', zone: null, severity: 'minor' },
  { what: 'Screw through the inner wall', belongsTo: 'IW10', zone: 'WALLR', severity: 'major' }, { what: 'Wallboard scratched', belongsTo: 'IW20', zone: null, severity: 'minor' },
  { what: 'Bubble in the sidewall', belongsTo: 'SW10', zone: null, severity: 'major' }, { what: 'Window frame not sealed', belongsTo: 'SW20', zone: null, severity: 'major' },
  { what: 'Roof seam short of sealant', belongsTo: 'RF20', zone: null, severity: 'major' }, { what: 'Front cap scratched', belongsTo: 'CP10', zone: null, severity: 'minor' },
  { what: 'Slide-out seal folded', belongsTo: 'SL20', zone: null, severity: 'major' }, { what: 'Outside lamp loose', belongsTo: 'EX10', zone: null, severity: 'safety' },
  { what: 'Trim piece missing', belongsTo: 'FF10', zone: null, severity: 'minor' }, { what: 'Floor covering stained', belongsTo: 'FF20', zone: null, severity: 'minor' },
];

const SHARE_FOUND = 0.22;
const SHARE_FIXED = 0.25;
const SHARE_VERIFIED = 0.6;
const FIXED_MS = 10 * 60_000;
const VERIFIED_MS = 8 * 60_000;
const FOUND_MS = 7 * 60_000;
const LAST_MS = 60_000;

export function createFindings(chance: Chance): Findings {
  const open = new Map<string, Open[]>();
  const fix = (sim: Sim, { unit }: SimUnit, finding: Open, before: number): void => {
    if (!finding.fixed) sim.inspection.writer.state('fixWork', sim.instant(before), finding.belongsTo, { unit, work: finding.id, note: '' }, chance);
    finding.fixed = true;
  };
  // Another person than the one who fixed it: the station's, or, where that is the same, the office's.
  const verify = (sim: Sim, { unit, station }: SimUnit, finding: Open, before: number): void =>
    void sim.inspection.writer.state('verifyWork', sim.instant(before), station === null || station === finding.belongsTo ? 'office' : station, { unit, work: finding.id, note: '' }, chance);
  return {
    atStation(sim, unit) {
      const { station, unit: serial } = unit;
      // Nobody works at a staging place, and what is stated before the end of a minute's stay would come before the find.
      if (station === null || sim.places.get(station)?.station.kind === 'staging') return;
      const left = (open.get(serial) ?? []).filter((finding) => {
        // What lies in a zone is mended at the latest where the zone is looked at or closed, just before that.
        const atOnce = finding.zone !== null && closesHere(sim, unit, finding.zone);
        const mayVerify = finding.fixed;
        if (atOnce || chance.next() < SHARE_FIXED) fix(sim, unit, finding, FIXED_MS);
        const verified = atOnce || (mayVerify && chance.next() < SHARE_VERIFIED);
        if (verified) verify(sim, unit, finding, VERIFIED_MS);
        return !verified;
      });
      if (chance.next() < SHARE_FOUND) {
        const one = chance.pick(INVENTED);
        if (mayBeFound(sim, unit, one) && !left.some(({ what }) => what === one.what)) left.push(found(sim, unit, one, chance, FOUND_MS));
      }
      open.set(serial, left);
    },
    find(sim, unit, what) {
      const one = INVENTED.find((invented) => invented.what === what);
      if (!one) throw new Error(`The demo has no finding ${what}`);
      open.set(unit.unit, [...(open.get(unit.unit) ?? []), found(sim, unit, one, chance, 0)]);
    },
    closeAll(sim, unit) {
      for (const finding of open.get(unit.unit) ?? []) {
        fix(sim, unit, finding, 2 * LAST_MS);
        verify(sim, { ...unit, station: null }, finding, LAST_MS);
      }
      open.delete(unit.unit);
    },
  };
}

function found(sim: Sim, { unit, station }: SimUnit, one: Invented, chance: Chance, before: number): Open {
  const { what, belongsTo, zone, severity } = one;
  const id = sim.inspection.writer.state('findWork', sim.instant(before), station!, { unit, what, zone, severity, belongsTo }, chance);
  return { ...one, id, fixed: false };
}

/** Whether the unit's station checks the zone or closes it. */
function closesHere({ plant, places }: Sim, { model, options, station }: SimUnit, zone: string): boolean {
  return places.get(station!)!.station.covers?.includes(zone) === true || checksFor(plant, model, options).some((check) => check.station === station && check.zones.includes(zone));
}

/** Of work already done; in a zone only while no check of before has looked at it and no station has closed it. */
function mayBeFound({ plant }: Sim, { model, options, station }: SimUnit, { belongsTo, zone }: Invented): boolean {
  const order = plant.lines.flatMap(({ stations }) => stations);
  const now = order.findIndex(({ code }) => code === station);
  if (order.findIndex(({ code }) => code === belongsTo) > now) return false;
  if (zone === null) return true;
  const upTo = new Set(order.slice(0, now + 1).map(({ code }) => code));
  const looked = checksFor(plant, model, options).some((check) => upTo.has(check.station) && check.zones.includes(zone));
  return !looked && !order.slice(0, now + 1).some(({ covers }) => covers?.includes(zone));
}
