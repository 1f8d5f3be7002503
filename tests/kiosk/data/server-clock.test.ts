import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jumped, type KnownClock, learn, measure, notBefore, TOLERANCE_MS, UNKNOWN_CLOCK } from '../../../kiosk/data/server-clock.ts';

const HOUR = 3_600_000;
const T = Date.parse('2026-06-01T12:00:00Z');

describe('a measurement of the server\'s clock', () => {
  it('never is wrong by more than it says, however the way there and back share the time', () => {
    fc.assert(fc.property(fc.integer({ min: -40 * HOUR, max: 40 * HOUR }), fc.nat(20_000), fc.nat(20_000), (ahead, there, back) => {
      const sent = T;
      const server = sent + there + ahead;
      const { ahead: told, unsure } = measure(sent, sent + there + back, server);
      expect(Math.abs(told - ahead)).toBeLessThanOrEqual(unsure);
    }));
  });

  it('is exact when both ways take as long', () => {
    expect(measure(T, T + 200, T + 100 - 2 * HOUR)).toEqual({ ahead: -2 * HOUR, unsure: 100, at: T + 200 });
  });
});

describe('the clock as known', () => {
  const heard = (known: KnownClock, ahead: number, unsure = 20, at = T): KnownClock => learn(known, { ahead, unsure, at });

  it('leaves a clock that is right within two seconds as it is', () => {
    for (const ahead of [0, 900, -1_900]) expect(heard(UNKNOWN_CLOCK, ahead).applied).toBe(0);
  });

  it('corrects one that is wrong by hours, either way', () => {
    for (const ahead of [2 * HOUR, -3 * HOUR, 2_500]) expect(heard(UNKNOWN_CLOCK, ahead).applied).toBe(ahead);
  });

  it('does not correct by what a slow way could have made', () => {
    expect(heard(UNKNOWN_CLOCK, 6_000, 5_000).applied).toBe(0);
  });

  it('keeps the correction in use while measurements wobble, so that facts of one device keep their order', () => {
    fc.assert(fc.property(fc.array(fc.record({ wobble: fc.integer({ min: -900, max: 900 }), unsure: fc.integer({ min: 0, max: 3_000 }) }), { maxLength: 30 }), (answers) => {
      let known = heard(UNKNOWN_CLOCK, HOUR);
      answers.forEach(({ wobble, unsure }, i) => (known = heard(known, HOUR + wobble, unsure, T + i * 1_000)));
      expect(known.applied).toBe(HOUR);
    }));
  });

  it('prefers the surer answer, and takes the newer one when both cannot be right: the clock was set', () => {
    const sure = heard(UNKNOWN_CLOCK, HOUR, 10);
    expect(heard(sure, HOUR + 200, 400, T + 1_000).measured).toEqual({ ahead: HOUR, unsure: 10, at: T });
    const set = heard(sure, 30, 40, T + 5_000);
    expect(set.measured?.ahead).toBe(30);
    expect(set.applied).toBe(30);
  });

  it('trusts an old answer less: quartz drifts', () => {
    const old = heard(UNKNOWN_CLOCK, 0, 10);
    expect(heard(old, 500, 800, T + 10 * HOUR).measured).toEqual({ ahead: 500, unsure: 800, at: T + 10 * HOUR });
  });

  it('takes a new answer when the clock went back behind the old one', () => {
    const ahead = heard(UNKNOWN_CLOCK, 0, 10);
    expect(heard(ahead, 5 * HOUR, 50, T - 5 * HOUR).applied).toBe(5 * HOUR);
  });
});

describe('a clock that someone sets', () => {
  it('counts only before the server was heard, and once for all tabs that notice', () => {
    const first = jumped(UNKNOWN_CLOCK, 2 * HOUR, T);
    expect(first.jumped).toBe(2 * HOUR);
    expect(jumped(first, 2 * HOUR + 300, T + 50_000)).toBe(first);
    expect(jumped(first, -HOUR, T + 60_000).jumped).toBe(HOUR);
    expect(jumped(first, 2 * HOUR, T + 10 * HOUR).jumped).toBe(4 * HOUR);
    const heard = learn(UNKNOWN_CLOCK, { ahead: 0, unsure: 5, at: T });
    expect(jumped(heard, TOLERANCE_MS * 2, T)).toBe(heard);
  });
});

describe('what is stated after an answer of the server', () => {
  it('did not happen before that answer, though the device is a little slow', () => {
    expect(notBefore(T - 1_200, T)).toBe(T);
    expect(notBefore(T + 300, T)).toBe(T + 300);
    expect(notBefore(T, null)).toBe(T);
  });

  it('is left alone where the clocks are further apart than one counts as right: a correction is for that', () => {
    expect(notBefore(T - TOLERANCE_MS - 1, T)).toBe(T - TOLERANCE_MS - 1);
  });

  it('keeps the order in which a person saw and stated, for a device that is slow by no more than counts as right', () => {
    fc.assert(fc.property(fc.integer({ min: -TOLERANCE_MS, max: TOLERANCE_MS }), fc.array(fc.record({ wait: fc.nat(5_000), answer: fc.boolean() })), (ahead, acts) => {
      let [now, answered, latest] = [T, null as number | null, Number.NEGATIVE_INFINITY];
      for (const { wait, answer } of acts) {
        now += wait;
        if (answer) answered = now;
        const happened = notBefore(now + ahead, answered);
        if (answered !== null) expect(happened).toBeGreaterThanOrEqual(answered);
        expect(happened).toBeGreaterThanOrEqual(latest);
        latest = happened;
      }
    }));
  });
});
