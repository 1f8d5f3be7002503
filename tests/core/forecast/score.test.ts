import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stationsTimesPace, sumOfMedians } from '../../../server/core/forecast/rules-of-thumb.ts';
import {
  brierScore, coverage, coverageBand, crpsEnsemble, crpsExponential, crpsFair, crpsNormal, crpsUniform, intervalScore, normalShare, pinballLoss, skill,
} from '../../../server/core/forecast/score.ts';
import published from '../../published/forecast.json';
import quantiles from '../../published/quantiles.json';

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const ensemble = fc.array(number(-100, 100), { minLength: 2, maxLength: 30 });

/** The integral of (F(x) - 1{x >= y})^2 by small steps, which is what the score is. */
function crpsBySteps(share: (x: number) => number, seen: number, low: number, high: number, steps = 200_000): number {
  const step = (high - low) / steps;
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const x = low + (i + 0.5) * step;
    sum += (share(x) - Number(x >= seen)) ** 2 * step;
  }
  return sum;
}

// tests/published/forecast.json: Gneiting and Raftery (2007), closed forms checked there by numeric integration.
describe('continuous ranked probability score', () => {
  it.each(published.crpsNormal)('of a normal forecast $mu, $sigma when $y happens is $crps', ({ mu, sigma, y, crps }) => {
    expect(crpsNormal(mu, sigma, y)).toBeCloseTo(crps, 9);
  });
  it.each(published.crpsExponential)('of an exponential one, rate $rate, when $y happens is $crps', ({ rate, y, crps }) => {
    expect(crpsExponential(rate, y)).toBeCloseTo(crps, 9);
  });
  it.each(published.crpsUniform)('of a uniform one from $a to $b when $y happens is $crps', ({ a, b, y, crps }) => {
    expect(crpsUniform(a, b, y)).toBeCloseTo(crps, 9);
  });
  it.each(published.crpsEnsemble)('of the members $x when $y happens is $crps, fair $fair', ({ x, y, crps, fair }) => {
    expect(crpsEnsemble(x, y)).toBeCloseTo(crps, 12);
    if (fair === null) expect(crpsFair(x, y)).toBeNaN();
    else expect(crpsFair(x, y)).toBeCloseTo(fair, 12);
  });

  it('is the integral that defines it', () => {
    for (const [mu, sigma, y] of [[0, 1, 0.3], [5, 2, 9], [480, 30, 455]] as const) {
      expect(crpsNormal(mu, sigma, y)).toBeCloseTo(crpsBySteps((x) => normalShare((x - mu) / sigma), y, mu - 10 * sigma, mu + 10 * sigma), sigma > 10 ? 2 : 3);
    }
    expect(crpsExponential(0.5, -2)).toBeCloseTo(crpsBySteps((x) => (x > 0 ? 1 - Math.exp(-0.5 * x) : 0), -2, -3, 60), 3);
    for (const y of [8, 12, 25]) expect(crpsUniform(10, 20, y)).toBeCloseTo(crpsBySteps((x) => Math.min(1, Math.max(0, (x - 10) / 10)), y, 0, 40), 3);
  });

  it('of an ensemble is the sum over all pairs, however it is ordered', () => {
    fc.assert(fc.property(ensemble, number(-150, 150), (members, seen) => {
      const n = members.length;
      const far = members.reduce((sum, x) => sum + Math.abs(x - seen), 0) / n;
      const pairs = members.reduce((sum, x) => sum + members.reduce((inner, other) => inner + Math.abs(x - other), 0), 0);
      expect(crpsEnsemble(members, seen)).toBeCloseTo(far - pairs / (2 * n * n), 9);
      expect(crpsFair(members, seen)).toBeCloseTo(far - pairs / (2 * n * (n - 1)), 9);
      expect(crpsEnsemble([...members].reverse(), seen)).toBeCloseTo(crpsEnsemble(members, seen), 9);
    }));
  });

  it('is never below 0, and of one sure value is how far it was off', () => {
    fc.assert(fc.property(ensemble, number(-150, 150), (members, seen) => {
      expect(crpsEnsemble(members, seen)).toBeGreaterThanOrEqual(-1e-9);
      expect(crpsEnsemble([members[0]!], seen)).toBeCloseTo(Math.abs(members[0]! - seen), 9);
    }));
  });

  it('is twice the mean pinball loss over all levels', () => {
    const members = Array.from({ length: 400 }, (_, i) => normalish((i + 0.5) / 400));
    const losses = members.map((quantile, i) => pinballLoss(quantile, 0.4, (i + 0.5) / 400));
    expect((2 * losses.reduce((sum, loss) => sum + loss, 0)) / 400).toBeCloseTo(crpsEnsemble(members, 0.4), 3);
  });

  it('is best for the true distribution, in the mean over what it gives', () => {
    const seen = Array.from({ length: 400 }, (_, i) => normalish((i + 0.5) / 400));
    const meanOf = (mu: number, sigma: number): number => seen.reduce((sum, y) => sum + crpsNormal(mu, sigma, y), 0);
    for (const [mu, sigma] of [[0.5, 1], [-0.5, 1], [0, 1.6], [0, 0.6]] as const) expect(meanOf(0, 1)).toBeLessThan(meanOf(mu, sigma));
  });
});

/** A standard normal's quantile, by halving. */
function normalish(level: number): number {
  let [low, high] = [-8, 8];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (normalShare(middle) < level) low = middle;
    else high = middle;
  }
  return low;
}

describe('the share of a normal distribution', () => {
  it('has the values of the tables', () => {
    // Abramowitz and Stegun, table 26.1 (from memory): P(1) = 0.841344746, P(1.96) = 0.975002105, P(3) = 0.998650102.
    expect([0, 1, 1.96, 3].map((x) => normalShare(x).toFixed(9))).toEqual(['0.500000000', '0.841344746', '0.975002105', '0.998650102']);
    expect([normalShare(-40), normalShare(40)]).toEqual([0, 1]);
  });
  it('is even, and rises', () => {
    fc.assert(fc.property(number(-7, 7), number(0, 1), (x, more) => {
      expect(normalShare(x) + normalShare(-x)).toBeCloseTo(1, 12);
      expect(normalShare(x + more)).toBeGreaterThanOrEqual(normalShare(x) - 1e-12);
    }));
  });
});

describe('pinball loss, interval score, Brier score, skill', () => {
  it.each(published.pinball)('pinball of $q at $tau when $y happens is $loss', ({ q, y, tau, loss }) => {
    expect(pinballLoss(q, y, tau)).toBeCloseTo(loss, 12);
  });
  it.each(published.intervalScore)('interval $l to $u, alpha $alpha, when $y happens: $score', ({ l, u, y, alpha, score }) => {
    expect(intervalScore(l, u, y, alpha)).toBeCloseTo(score, 9);
  });
  it('the interval score is made of the pinball losses of its two ends', () => {
    fc.assert(fc.property(number(-50, 50), number(0, 50), number(-100, 150), fc.constantFrom(0.1, 0.2, 0.5), (low, width, seen, alpha) => {
      const high = low + width;
      const losses = pinballLoss(low, seen, alpha / 2) + pinballLoss(high, seen, 1 - alpha / 2);
      expect(intervalScore(low, high, seen, alpha)).toBeCloseTo((2 / alpha) * losses, 6);
    }));
  });
  it('the published Brier score and its skill against the base rate', () => {
    const { p, o, score, baseRate, skill: expected } = published.brier;
    const happened = o.map((one) => one === 1);
    expect(brierScore(p, happened)).toBeCloseTo(score, 12);
    expect(skill(brierScore(p, happened), brierScore(p.map(() => baseRate), happened))).toBeCloseTo(expected, 12);
    expect([skill(0, 2), skill(2, 2), skill(3, 2)]).toEqual([1, 0, -0.5]);
  });
});

describe('coverage', () => {
  it.each(published.coverage95)('of $n intervals of $nominal, $lo to $hi hold what happens', ({ n, nominal, lo, hi }) => {
    expect(coverageBand(n, nominal)).toEqual({ low: lo, high: hi });
  });
  it('counts both ends as held', () => {
    expect(coverage([{ low: 1, high: 2, seen: 1 }, { low: 1, high: 2, seen: 2 }, { low: 1, high: 2, seen: 2.1 }, { low: 1, high: 2, seen: 0 }])).toBe(0.5);
  });
});

describe('the rules of thumb', () => {
  it('stations left times pace; sum of the recent medians', () => {
    expect(stationsTimesPace(4, 27.5)).toBe(110);
    expect(sumOfMedians([[30, 10, 20], [], [5, 6]])).toBe(25.5);
  });
});
