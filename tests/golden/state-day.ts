import { writeFileSync } from 'node:fs';
import { demoPlant, simulateDemo } from '../../seed/load-demo.ts';
import { toWire } from '../../server/contract/fact-wire.ts';
import { DAY_ENDS, LINE_RUNS_DAYS } from './day.ts';

/*
 * Writes the plant and the facts of the golden day anew from the simulator: node --import tsx tests/golden/state-day.ts
 * They are kept as files, so that a change to the simulator does not move what the arithmetic is held against.
 */
const plant = demoPlant(DAY_ENDS);
const facts = simulateDemo({ plant, now: DAY_ENDS, seed: 7, speed: 1 }, LINE_RUNS_DAYS).factsUntil(DAY_ENDS);
const file = (name: string): URL => new URL(`./${name}`, import.meta.url);
writeFileSync(file('day.plant.json'), `${JSON.stringify(plant)}\n`);
writeFileSync(file('day.facts.jsonl'), facts.map((fact) => `${JSON.stringify(toWire(fact))}\n`).join(''));
