import type { LateRow } from './snapshot.ts';
import type { ErrorReply } from './errors.ts';
import type { Fact, Recorded } from '../core/facts/fact.ts';
import type { Flag } from '../core/facts/flag.ts';
import type { UnitState } from '../core/facts/unit-state.ts';
import type { Visit } from '../core/timeline/visit.ts';
import type { CommonFinding } from '../core/rates/commonest-findings.ts';
import type { Instant } from '../core/units.ts';

/** `recorded`, `repeated` and `flagged` facts are safe in the log; `refused` ones are not and never will be. */
export type FactOutcome = 'recorded' | 'repeated' | 'flagged' | 'refused';

/** The answer to one fact of a batch. `id` is what the fact gave as its id, or '' where it gave none that can be read. */
export interface FactReply {
  id: string;
  outcome: FactOutcome;
  /** Codes of what surprised, when `outcome` is `flagged` (or was, for a repeated one). */
  flags: string[];
  /** Given when, and only when, `outcome` is `refused`. */
  why?: ErrorReply;
}

/** Answer of POST /api/plants/:plant/facts: one reply for each fact, in the order sent. */
export interface FactsReply {
  replies: FactReply[];
  /** Number of the plant's last fact once the batch was recorded. */
  version: number;
}

/** Most facts in one request. */
export const BATCH_LIMIT = 1000;

/** One entry of GET /api/plants. */
export interface PlantRow {
  code: string;
  name: string;
  timeZone: string;
  setupVersion: number;
}

/** Answer of PUT /api/plants/:plant/setup. */
export interface SetupReply {
  version: number;
  validFrom: Instant;
}

/** Answer of GET /api/plants/:plant/units/:unit: the whole story of a unit. */
export interface UnitReply {
  state: UnitState;
  visits: Visit[];
  facts: Recorded<Fact>[];
  flags: Flag[];
  holds: { id: string; reason: string; note: string; from: Instant; to: Instant | null }[];
  offLine: { from: Instant; to: Instant | null; reason: string }[];
  late: LateRow | null;
  /** As in `UnitRow`. */
  manufactured: Instant | null;
}

/** Answer of GET /api/plants/:plant/common-findings: by station what was found most in its work, as of fact number `version`. */
export interface CommonFindingsReply {
  version: number;
  stations: Record<string, CommonFinding[]>;
}

/** Answer of GET /api/plants/:plant/units/:unit/offered-vin. */
export interface OfferedVin {
  /** Null where the plant has no make-up of VINs for the unit's model, or its numbers are used up. */
  vin: string | null;
}

/** One thing wrong in an imported file. `line` counts from 1; `column` is the header's name, or '' for the whole line. */
export interface ImportProblem {
  line: number;
  column: string;
  message: string;
}

/** `check` imports nothing; `all` imports only when every row is good; `good` imports the good rows. */
export const IMPORT_MODES = ['check', 'all', 'good'] as const;
export type ImportMode = (typeof IMPORT_MODES)[number];

/** Answer of POST /api/plants/:plant/units/import. */
export interface ImportReply {
  mode: ImportMode;
  /** Rows that can be imported, and those that were. */
  good: number;
  imported: number;
  problems: ImportProblem[];
  version: number;
}
