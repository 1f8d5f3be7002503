import { describe, expect, it } from 'vitest';
import { PlantMemory } from '../../server/actions/plant-memory.ts';
import { unitStory } from '../../server/actions/unit-story.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { aLine, aPlant, aStation, at, minute, registered, setupOf } from '../support/given.ts';

const day = { name: 'Day', start: '06:00', end: '14:00', breaks: [], weekdays: ['mon' as const] };
const plant = aPlant(aLine([aStation('A'), aStation('B')]), { A: 25, B: 30 }, { calendars: [{ code: 'always', shifts: [day], exceptions: [] }] });

function memoryOf(facts: readonly Fact[]): PlantMemory {
  const memory = new PlantMemory('P');
  memory.setUp(setupOf(plant), 1);
  memory.add(facts.map((fact, i) => ({ ...fact, recorded: fact.happened, seq: i + 1 })), facts.length);
  return memory;
}
const flagsOf = (unit: string, facts: readonly Fact[]) => unitStory(memoryOf(facts), unit, minute(1_000)).flags.map(({ fact, code, detail }) => ({ fact, code, detail }));

describe('the story of a unit', () => {
  const first = at(350, 'arrive', { unit: 'U1', station: 'A' });
  const finish = at(400, 'finish', { unit: 'U1', station: 'A' });
  const second = at(410, 'arrive', { unit: 'U2', station: 'A' });
  const facts = [registered('U1'), registered('U2', { sequence: 2 }), first, finish, second];

  it('tells with its own flags those that only the line can tell: a full station, a scan outside working time', () => {
    expect(flagsOf('U1', facts)).toEqual([{ fact: first.id, code: 'outsideWorkingTime', detail: '' }]);
    expect(flagsOf('U2', facts)).toEqual([{ fact: second.id, code: 'stationFull', detail: 'U1' }]);
  });

  it('no longer tells them once the floor said that the line was open, and the unit before had left', () => {
    const open = at(345, 'openUntil', { line: 'MAIN', station: null, until: minute(365) });
    expect(flagsOf('U1', [...facts, open])).toEqual([]);
    expect(flagsOf('U2', [...facts, at(405, 'arrive', { unit: 'U1', station: 'B' })])).toEqual([]);
  });
});
