/** The golden day: the last of four days of the demo plant, whose line is filled by then. */
export const DAY_BEGINS = Date.parse('2026-11-25T00:00:00Z');
export const DAY_ENDS = Date.parse('2026-11-25T23:40:00Z');
export const LINE_RUNS_DAYS = 4;
