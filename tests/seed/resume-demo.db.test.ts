import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoPlant, demoStarted, demoValidFrom, type DemoActions, loadDemo, resumeDemo } from '../../seed/load-demo.ts';
import { BY, testHouse, type TestHouse } from '../actions/house.ts';

const NOW = Date.parse('2026-06-10T15:00:00Z');
const MINUTE = 60_000;

describe('the demo plant after a restart', () => {
  let house: TestHouse;
  beforeAll(async () => {
    house = await testHouse();
  });
  afterAll(() => house.close());

  /** The doors of the program, which break after `batches` batches. */
  const doors = (batches = Number.POSITIVE_INFINITY): DemoActions => ({
    loadPlant: async (document, validFrom) => void (await house.app.actions.loadPlant(document, validFrom, BY)),
    async recordFacts(plant, facts) {
      if (batches-- <= 0) throw new Error('cut off');
      const { replies } = await house.app.actions.recordFacts(plant, facts);
      return replies.map(({ outcome }) => ({ repeated: outcome === 'repeated' }));
    },
  });
  const origin = (code: string, speed = 10) => ({ plant: { ...demoPlant(NOW), code }, now: NOW, seed: 7, speed });
  const statesOf = async (plant: string) => (await house.app.actions.snapshot(plant)).units.map(({ state }) => state).sort((a, b) => (a.unit < b.unit ? -1 : 1));

  it('stands where it would stand had it never stopped, also when the loading was cut off', async () => {
    const whole = await loadDemo(doors(), origin('WHOLE'));
    await whole.goOn(NOW + 30 * MINUTE);
    await expect(loadDemo(doors(9), origin('CUT'))).rejects.toThrow('cut off');
    const resumed = await resumeDemo(doors(), origin('CUT'), NOW + 20 * MINUTE);
    expect(resumed.facts).toBeGreaterThan(0);
    const again = await resumeDemo(doors(), origin('CUT'), NOW + 20 * MINUTE);
    expect(again.facts).toBe(0);
    await again.goOn(NOW + 30 * MINUTE);
    expect(await statesOf('CUT')).toEqual(await statesOf('WHOLE'));
  }, 120_000);

  it('keeps what could not be recorded for the next time', async () => {
    const broken = { cut: false };
    const way = doors();
    const demo = await loadDemo({ ...way, recordFacts: (plant, facts) => (broken.cut ? Promise.reject(new Error('away')) : way.recordFacts(plant, facts)) }, origin('AWAY'));
    broken.cut = true;
    await expect(demo.goOn(NOW + 10 * MINUTE)).rejects.toThrow('away');
    broken.cut = false;
    await demo.goOn(NOW + 30 * MINUTE);
    expect(await statesOf('AWAY')).toEqual(await statesOf('WHOLE'));
  }, 120_000);

  it('is known by the instant from which its set-up holds', () => {
    expect(demoStarted(demoValidFrom(NOW))).toBe(NOW);
  });
});
