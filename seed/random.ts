/** A seeded stream of chance: the same seed gives the same demo. Draws are reals in [0, 1). */
export interface Chance {
  next(): number;
  /** An exponential draw with the given mean. */
  exponential(mean: number): number;
  /** A lognormal draw with mean 1 and the given coefficient of variation. */
  aroundOne(variation: number): number;
  pick<T>(from: readonly T[]): T;
}

export function chanceFrom(seed: number): Chance {
  let state = seed >>> 0;
  const next = (): number => {
    // mulberry32: a small public-domain generator, good enough for a demo, never for anything secret.
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  return {
    next,
    exponential: (mean) => -mean * Math.log(1 - next()),
    aroundOne(variation) {
      const sigma2 = Math.log(1 + variation * variation);
      return Math.exp(Math.sqrt(sigma2) * normal() - sigma2 / 2);
    },
    pick(from) {
      const chosen = from[Math.floor(next() * from.length)];
      if (chosen === undefined) throw new RangeError('pick from an empty list');
      return chosen;
    },
  };
}
