import type { Instant, Minutes } from '../server/core/units.ts';
import type { Chance } from './random.ts';
import { eachShift, type Sim, type SimOptions } from './simulate.ts';

const NOTES = [
  'Hoist at the sidewalls runs slow, lift with two until it is mended', 'Sealant batch 12 skins early, use it within ten minutes', 'Two awnings came scratched, set aside at stores',
  'New cutting list for the rear cabinets from tomorrow', 'Air pressure low after the first break', 'Sample unit for the dealer visit goes through on sequence',
  'Pallet of door frames stands in the aisle at the cabinets', 'Test bench needs a new hose before the next shift',
];
const ACTIONS: readonly [what: string, owner: string][] = [
  ['Mend the brake of the sidewall hoist', 'Maintenance'], ['Find converters for this week', 'Purchasing'], ['Put the drawing of the slide-out seal right', 'Engineering'],
  ['Recut six cabinet doors', 'Cabinet shop'], ['Count entry steps in stock', 'Stores'], ['Check torque of the axle bolts on the last ten units', 'Quality'],
  ['Train a second head for the water line test', 'Supervisor'], ['Replace the worn tool at the frame press', 'Maintenance'], ['Answer the dealer about the range hood', 'Purchasing'],
];
const DONE = ['', 'done and tried', 'came with the morning truck', 'ten units checked, none loose'];

export interface Talk {
  /** A head is missing at the station: sometimes another station lends one. */
  headMissing(station: string): void;
}

/**
 * What the supervisor of the main line says: a note most days, a few actions a week with owner and due time, and heads lent where some are missing.
 * It has a stream of chance of its own, so that it changes nothing of what the plant does.
 */
export function startTalk(sim: Sim, options: SimOptions): Talk {
  const { toInstant, dayMinutes, talkChance } = options;
  const line = sim.plant.lines.find(({ purpose }) => purpose === 'main')!;
  const after = (minutes: Minutes, run: () => void): void => sim.events.at(sim.events.now() + minutes, run);
  let said = 0;
  const say = (): void => void sim.writer.state('note', sim.instant(), SUPERVISOR, { line: line.code, text: NOTES[said++ % NOTES.length]! }, talkChance);
  let opened = 0;
  const open = (): void => openAction(sim, talkChance, line.code, ACTIONS[opened++ % ACTIONS.length]!, (minutes) => toInstant(sim.events.now() + minutes), dayMinutes);
  eachShift(sim, options, () => {
    if (talkChance.next() < 0.35) after(dayMinutes * 0.4 * talkChance.next(), say);
    if (talkChance.next() < 0.75) after(dayMinutes * (0.85 + 0.12 * talkChance.next()), say);
    if (talkChance.next() < 0.7) after(15 + dayMinutes * 0.5 * talkChance.next(), open);
  }, 1);
  return {
    headMissing(station) {
      const lenders = line.stations.filter(({ code, plannedHeads }) => plannedHeads >= 4 && code !== station);
      if (talkChance.next() < 0.5 || lenders.length === 0) return;
      const from = talkChance.pick(lenders).code;
      const until = talkChance.next() < 0.3 ? dayMinutes * 0.5 : null;
      after(10 + 20 * talkChance.next(), () => sim.writer.state('loan', sim.instant(), SUPERVISOR, { station, from, heads: 1, until: until === null ? null : toInstant(sim.events.now() + until) }, talkChance));
    },
  };
}

const SUPERVISOR = 'supervisor';

/** An action due in a few days, most of them done about then; states its closing too. */
function openAction(sim: Sim, chance: Chance, line: string, [what, owner]: (typeof ACTIONS)[number], inMinutes: (minutes: Minutes) => Instant, dayMinutes: Minutes): void {
  const days = 1 + Math.floor(chance.next() * 4);
  const action = sim.writer.state('openAction', sim.instant(), SUPERVISOR, { line, what, owner, due: inMinutes(days * dayMinutes) }, chance);
  const done = days * dayMinutes * (0.4 + 0.8 * chance.next());
  const note = chance.pick(DONE);
  sim.events.at(sim.events.now() + done, () => sim.writer.state('closeAction', sim.instant(), SUPERVISOR, { line, action, note }, chance));
}
