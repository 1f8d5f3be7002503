import { StationhandError } from '../contract/errors.ts';
import type { CommonFindingsReply } from '../contract/replies.ts';
import { commonestByStation, RECENT_MS } from '../core/rates/commonest-findings.ts';
import { setupAt } from '../core/setup/setup-at.ts';
import type { Instant } from '../core/units.ts';
import type { PlantMemory } from './plant-memory.ts';

const MOST = 6;

/** What was found most in the work of each station, over every unit the plant ever had, gone or not. */
export function commonFindings(memory: PlantMemory, at: Instant): CommonFindingsReply {
  if (!setupAt(memory.setups, at)) throw new StationhandError('unknownPlant');
  const states = [...memory.units.values()].map(({ state }) => state);
  return { version: memory.version, stations: commonestByStation(states, at - RECENT_MS, MOST) };
}
