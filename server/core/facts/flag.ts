/**
 * What surprised about a fact (definitions §2). A flagged fact is recorded all the same.
 * Flags are derived from the facts, so a later fact can bring one or take it away. Those of a unit are a function of its own facts and the
 * set-up; `stationFull` and `outsideWorkingTime` depend on others too and are told by the line (timeline/line-flags.ts).
 */
export const FLAG_CODES = [
  'unknownUnit',        // no such serial is registered yet
  'unknownStation',     // the set-up in force has no such station or place
  'unknownLine',
  'unknownTarget',      // voids, clears or fits something that is not in the log
  'future',             // happened later than it was recorded
  'outsideWorkingTime', // nobody should have been working
  'skippedStations',    // stations of the route before this one were not scanned
  'backwards',          // a station of the route that the unit had passed
  'notOnRoute',         // the unit's route does not have the station
  'notHere',            // finish or leave of a station at which the unit is not
  'twice',              // states again what already held
  'noFinish',           // left with no finish scanned
  'stationFull',        // no free place at the station when it came
  'pastHold',           // did what an open hold keeps it from
  'offLine',            // scanned on the line while pulled off
  'notReleased',        // shipped without release
  'gone',               // scanned, released, shipped or cancelled when it was shipped or cancelled already
  'registeredTwice',
  'vinWrong',           // the VIN bound has something wrong in it (gates/vin.ts)
  'notReadyToShip',     // released while something was missing: the release does not count
  'releaseTakenBack',   // shows that a released unit is not ready to ship
  'pastCheck',          // left a station without having passed its check
  'coveredOpenWork',    // closed a zone with open work in it
  'partNumberWrong',    // the number recorded is not one that such a part has (gates/part-number.ts)
  'notFixed',           // verified before it was fixed
  'verifiedByFixer',    // verified by the one who fixed it: it counts for nothing
  'oldVersion',         // made by a version of the check that was not in force
  'seenElsewhere',      // found on a walk at another place than where it was said to be
  'notFound',           // not found on a walk where it was said to be
  'notReady',           // rolled while not every unit was finished
] as const;

export type FlagCode = (typeof FLAG_CODES)[number];

export interface Flag {
  fact: string;
  code: FlagCode;
  unit: string | null;
  station: string | null;
  /** Names that belong to the code: the stations skipped, the hold passed. */
  detail: string;
}
