import type { Actions } from './actions/actions.ts';
import type { Instant } from './core/units.ts';
import type { DemoActions, RunningDemo } from '../seed/load-demo.ts';

const SEED = 7;
const EVERY_MS = 1_000;
const DEMO = { who: 'demo', device: 'demo' };

/** Loads the demo plant through the same doors as a plant's set-up and a kiosk's scans. */
export async function loadDemoPlant(actions: Actions, now: Instant, speed: number): Promise<RunningDemo> {
  const { loadDemo } = await import('../seed/load-demo.ts');
  const doors: DemoActions = {
    async loadPlant(document, validFrom) {
      await actions.loadPlant(document, validFrom, DEMO);
    },
    async recordFacts(plant, wireFacts) {
      const { replies } = await actions.recordFacts(plant, wireFacts);
      const refused = replies.find(({ outcome }) => outcome === 'refused');
      if (refused) throw new Error(`the demo stated a fact that is refused: ${refused.why?.error.what ?? refused.id}`);
    },
  };
  return loadDemo(doors, now, SEED, speed);
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
