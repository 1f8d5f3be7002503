import type { DemoActions, DemoOrigin, RunningDemo } from '../seed/load-demo.ts';
import type { Actions } from './actions/actions.ts';
import type { Instant } from './core/units.ts';

const SEED = 7;
const EVERY_MS = 1_000;
const WHO = 'demo';
/** The device that loaded a demo's set-up tells its speed, which its facts are a function of. */
const DEVICE = /^demo-speed-([\d.]+)$/;

/** What the simulator states is not what the log has: the demo was loaded by another version of the program. */
export class DemoOfAnotherVersion extends Error {}

/** Loads the demo plant through the same doors as a plant's set-up and a kiosk's scans. */
export async function startDemo(actions: Actions, now: Instant, speed: number): Promise<RunningDemo> {
  const { demoPlant, loadDemo } = await import('../seed/load-demo.ts');
  return loadDemo(doorsOf(actions, speed), { plant: demoPlant(now), now, seed: SEED, speed });
}

/** The demo of an earlier start, gone on to `now`; null when the database has none. Throws `DemoOfAnotherVersion`. Its speed is that of its first start. */
export async function resumeDemoOf(actions: Actions, now: Instant): Promise<(RunningDemo & { speed: number }) | null> {
  const { demoStarted, resumeDemo } = await import('../seed/load-demo.ts');
  for (const { code } of await actions.plants()) {
    const first = (await actions.setups(code))[0];
    const speed = first?.who === WHO ? DEVICE.exec(first.device)?.[1] : undefined;
    if (!first || speed === undefined) continue;
    const origin: DemoOrigin = { plant: first.plant, now: demoStarted(first.validFrom), seed: SEED, speed: Number(speed) };
    return { ...(await resumeDemo(doorsOf(actions, origin.speed), origin, now)), speed: origin.speed };
  }
  return null;
}

function doorsOf(actions: Actions, speed: number): DemoActions {
  return {
    async loadPlant(document, validFrom) {
      await actions.loadPlant(document, validFrom, { who: WHO, device: `demo-speed-${speed}` });
    },
    async recordFacts(plant, wireFacts) {
      const { replies } = await actions.recordFacts(plant, wireFacts);
      const refused = replies.find(({ outcome }) => outcome === 'refused');
      if (refused) throw new DemoOfAnotherVersion(`the demo stated a fact that is refused: ${refused.why?.error.what ?? refused.id}`);
      return replies.map(({ outcome }) => ({ repeated: outcome === 'repeated' }));
    },
  };
}

/** Lets the demo plant work on, second by second, until the function returned is called. */
export function keepWorking(demo: RunningDemo, now: () => Instant, log: (message: string) => void): () => void {
  let busy = false;
  const timer = setInterval(() => {
    if (busy) return;
    busy = true;
    demo.goOn(now()).catch((error: unknown) => log(`the demo could not go on: ${String(error)}`)).finally(() => (busy = false));
  }, EVERY_MS);
  return () => clearInterval(timer);
}
