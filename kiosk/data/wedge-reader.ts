/** Longest pause between two keys of a scanner, in ms. Common practice for keyboard wedges; a person types slower. */
export const KEY_GAP_MS = 50;
/** A scan has at least this many characters; fewer fast keys are a person's. */
export const SCAN_LENGTH = 3;

/** Tells a scanner's keys from a person's by their speed: many in a row, close together, ended by Enter. */
export class WedgeReader {
  private keys = '';
  private last = Number.NEGATIVE_INFINITY;

  /** Whether a key at `at` (ms) would begin a new run. */
  empty(at: number): boolean {
    return this.keys === '' || at - this.last > KEY_GAP_MS;
  }

  /** Takes one key pressed at `at` (ms). The scan it completes, or null. */
  key(key: string, at: number): string | null {
    if (key === 'Shift' || key === 'CapsLock') return null;
    if (this.empty(at)) this.keys = '';
    this.last = at;
    if (key === 'Enter') {
      const scanned = this.keys;
      this.keys = '';
      return scanned.length >= SCAN_LENGTH ? scanned : null;
    }
    this.keys = key.length === 1 ? this.keys + key : '';
    return null;
  }
}
