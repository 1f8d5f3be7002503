import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hashText, mix, nextBits, nextUniform, PURPOSE, seedState, streamKey } from '../../../server/core/forecast/random.ts';

const stateOf = (seed: number, unit: string, place: string, purpose: number, part = 0): Uint32Array => {
  const state = new Uint32Array(4);
  seedState(state, seed, ...streamKey(unit, place), purpose, part);
  return state;
};
const draws = (state: Uint32Array, count: number): number[] => Array.from({ length: count }, () => nextBits(state));

describe('nextBits', () => {
  it('gives the published values of xoshiro128+', () => {
    // From the state 1, 2, 3, 4: rust-random/rngs, rand_xoshiro/src/xoshiro128plus.rs, test `reference`, there made with the reference program.
    const state = Uint32Array.of(1, 2, 3, 4);
    expect(draws(state, 10)).toEqual([5, 12295, 25178119, 27286542, 39879690, 1140358681, 3276312097, 4110231701, 399823256, 2144435200]);
  });

  it('goes through the states of its family: xoshiro128++ made of them gives its own published values', () => {
    // php-src, ext/random/tests/02_engine/user_xoshiro128plusplus.phpt: after 102,400 steps fa3c872c, lowest byte first; the ten values of
    // rand_xoshiro/src/xoshiro128plusplus.rs. Both generators have the same steps, and differ in what they give out.
    const state = Uint32Array.of(1, 2, 3, 4);
    const plusPlus = (): number => {
      const [first, sum] = [state[0]!, (state[0]! + state[3]!) | 0];
      nextBits(state);
      return (((sum << 7) | (sum >>> 25)) + first) >>> 0;
    };
    expect(Array.from({ length: 10 }, plusPlus)).toEqual([641, 1573767, 3222811527, 3517856514, 836907274, 4247214768, 3867114732, 1355841295, 495546011, 621204420]);
    for (let i = 10; i < 102_400; i++) plusPlus();
    expect(plusPlus()).toBe(0x2c873cfa);
  });
});

describe('mix and hashText', () => {
  it('mix is the finalizer of MurmurHash3, which keeps 0 and is one to one', () => {
    expect(mix(0)).toBe(0);
    const images = new Set(Array.from({ length: 50_000 }, (_, i) => mix(i * 65_537)));
    expect(images.size).toBe(50_000);
  });

  it('mix turns over about half of the bits when one is turned over', () => {
    fc.assert(fc.property(fc.integer(), fc.integer({ min: 0, max: 31 }), (value, bit) => {
      const turned = mix(value) ^ mix(value ^ (1 << bit));
      const count = turned.toString(2).replaceAll(/[^1]/g, '').length;
      expect(turned).not.toBe(0);
      expect(count).toBeLessThan(32);
    }));
  });

  it('tells texts apart, also those with the same letters', () => {
    const texts = Array.from({ length: 3_000 }, (_, i) => `U${i}`);
    expect(new Set(texts.map((text) => hashText(text))).size).toBe(3_000);
    expect(hashText('AB')).not.toBe(hashText('BA'));
  });
});

describe('a stream', () => {
  it('is the same for the same seed, unit, station and purpose', () => {
    fc.assert(fc.property(fc.integer(), fc.string(), fc.string(), (seed, unit, station) => {
      expect(draws(stateOf(seed, unit, station, PURPOSE.work), 5)).toEqual(draws(stateOf(seed, unit, station, PURPOSE.work), 5));
    }));
  });

  it('is another one for another seed, unit, station, purpose or part', () => {
    const base = draws(stateOf(1, 'U1', 'S1', PURPOSE.work), 4);
    const others = [
      stateOf(2, 'U1', 'S1', PURPOSE.work), stateOf(1, 'U2', 'S1', PURPOSE.work), stateOf(1, 'U1', 'S2', PURPOSE.work), stateOf(1, 'U1', 'S1', PURPOSE.holds),
      stateOf(1, 'U1', 'S1', PURPOSE.work, 1), stateOf(1, 'S1', 'U1', PURPOSE.work),
    ];
    for (const other of others) expect(draws(other, 4)).not.toEqual(base);
  });

  it('has a state of its own for each of a plant of units and stations', () => {
    const seen = new Set<string>();
    for (let u = 0; u < 120; u++) for (let s = 0; s < 40; s++) seen.add(stateOf(7, `CF-${24_000 + u}`, `ST${s}`, PURPOSE.work).join());
    expect(seen.size).toBe(120 * 40);
  });

  it('is never the one state that stands still', () => {
    fc.assert(fc.property(fc.integer(), fc.nat(), fc.nat(), fc.nat(), (seed, low, high, part) => {
      const state = new Uint32Array(32);
      seedState(state, seed, low, high, 1, part);
      expect(state.subarray(0, 4).some((word) => word !== 0)).toBe(true);
    }));
  });

  it('is even over (0, 1], and not bound up with its neighbour', () => {
    // The first draw of each of 20,000 neighbouring keys: mean 1/2 and 4.5 standard errors sqrt(1/12n); the product of neighbours has mean 1/4, variance 7/144.
    const count = 20_000;
    const firsts = Array.from({ length: count }, (_, i) => nextUniform(stateOf(3, `U${i}`, 'S1', PURPOSE.work)));
    const mean = firsts.reduce((sum, x) => sum + x, 0) / count;
    expect(Math.abs(mean - 0.5)).toBeLessThan(4.5 / Math.sqrt(12 * count));
    const product = firsts.slice(1).reduce((sum, x, i) => sum + x * firsts[i]!, 0) / (count - 1);
    expect(Math.abs(product - 0.25)).toBeLessThan(4.5 * Math.sqrt(7 / 144 / count));
    expect(Math.min(...firsts)).toBeGreaterThan(0);
    expect(Math.max(...firsts)).toBeLessThanOrEqual(1);
  });

  it('fills ten equal parts evenly', () => {
    // Chi-square with 9 degrees of freedom: 27.88 at 0.1 %.
    const state = stateOf(11, 'U1', 'S1', PURPOSE.stops);
    const counts = Array.from({ length: 10 }, () => 0);
    for (let i = 0; i < 50_000; i++) counts[Math.min(9, Math.floor(nextUniform(state) * 10))]!++;
    expect(counts.reduce((sum, count) => sum + (count - 5_000) ** 2 / 5_000, 0)).toBeLessThan(27.88);
  });
});
