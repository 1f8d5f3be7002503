/** An instant: whole milliseconds since 1970-01-01T00:00:00Z. */
export type Instant = number;

/** A length of time in minutes, a real number. Working minutes unless a name says elapsed. */
export type Minutes = number;

/** A calendar day in the plant's zone, `2026-11-25`. */
export type LocalDate = string;

/** A wall-clock time in the plant's zone, `06:30`; `24:00` is the end of the day. */
export type LocalTime = string;

export const MS_PER_MINUTE = 60_000;
