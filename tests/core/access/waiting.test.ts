import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FORGOTTEN_AFTER_MS, waitAfter } from '../../../server/core/access/waiting.ts';

describe('the wait after failed sign-ins', () => {
  it('is nothing for two failures, then two seconds, doubling up to a quarter of an hour', () => {
    const waits = Array.from({ length: 15 }, (_, failures) => waitAfter(failures, 0, 0) / 1_000);
    expect(waits).toEqual([0, 0, 0, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900]);
    expect(waitAfter(1_000_000, 0, 0)).toBe(900_000);
  });

  it('runs from the last failure, and failures are forgotten after an hour', () => {
    expect(waitAfter(5, 1_000, 3_000)).toBe(6_000);
    expect(waitAfter(5, 1_000, 9_000)).toBe(0);
    expect(waitAfter(50, 0, FORGOTTEN_AFTER_MS - 1)).toBe(0);
    expect(waitAfter(50, 0, FORGOTTEN_AFTER_MS)).toBe(0);
  });

  it('never shrinks with another failure, and never goes beyond a quarter of an hour', () => {
    fc.assert(fc.property(fc.nat(200), fc.nat(FORGOTTEN_AFTER_MS), (failures, since) => {
      const wait = waitAfter(failures, 0, since);
      expect(wait).toBeGreaterThanOrEqual(0);
      expect(wait).toBeLessThanOrEqual(15 * 60_000);
      expect(waitAfter(failures + 1, 0, since)).toBeGreaterThanOrEqual(wait);
    }));
  });
});
