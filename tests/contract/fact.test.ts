import fc from 'fast-check';
import { describe, expect, expectTypeOf, it } from 'vitest';
import type { z } from 'zod';
import { type factSchema, parseFact } from '../../server/contract/fact.ts';
import { toWire } from '../../server/contract/fact-wire.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import { simulateDemo, demoPlant } from '../../seed/load-demo.ts';

const good = {
  kind: 'arrive', id: '019abc00-0000-7000-8000-000000000001', happened: '2026-06-01T10:05:00-04:00', told: false, who: 'badge-1', device: 'kiosk-1', counter: 3, unit: 'CF1', station: 'CH10',
};

describe('the wire shape of a fact', () => {
  it('is the core type, both ways', () => {
    expectTypeOf<z.output<typeof factSchema>>().toExtend<Fact>();
    expectTypeOf<Fact>().toExtend<z.output<typeof factSchema>>();
  });

  it('takes an instant with an offset and gives milliseconds', () => {
    expect(parseFact(good).fact).toMatchObject({ kind: 'arrive', happened: Date.parse('2026-06-01T14:05:00Z'), unit: 'CF1' });
  });

  it.each([
    ['no unit', { ...good, unit: ' ' }, 'unit'], ['no instant', { ...good, happened: 'ten past' }, 'happened'], ['an id of another version', { ...good, id: '019abc00-0000-4000-8000-000000000001' }, 'id'],
    ['a counter below zero', { ...good, counter: -1 }, 'counter'], ['another kind', { ...good, kind: 'vanish' }, 'kind'], ['the year 1990', { ...good, happened: '1990-01-01T00:00:00Z' }, 'happened'],
    ['a void of itself', { ...good, kind: 'void', fact: good.id, reason: 'x' }, 'fact'], ['a hold from no station', { ...good, kind: 'openHold', reason: 'x', keepsFrom: 'station' }, 'fromStation'],
    ['open until for both', { ...good, kind: 'openUntil', line: 'MAIN', station: 'CH10', until: '2026-06-01T20:00:00Z' }, 'line'],
    ['a day that does not exist', { ...good, kind: 'promise', promise: '2026-02-30', reason: 'x' }, 'promise'],
  ])('refuses %s and says where', (_, wire, where) => {
    expect(parseFact(wire)).toMatchObject({ fact: null, problem: { error: { code: 'malformedFact', where } } });
  });

  it('says by how many milliseconds its instant was corrected, or leaves that out', () => {
    expect(parseFact({ ...good, corrected: -7_200_000 }).fact).toMatchObject({ corrected: -7_200_000 });
    expect(parseFact(good).fact).not.toHaveProperty('corrected');
    expect(parseFact({ ...good, corrected: 1.5 }).problem?.error.where).toBe('corrected');
  });

  it('takes heads in fractions, for whoever is shared by two stations, and none below zero', () => {
    const heads = (count: unknown) => parseFact({ ...good, kind: 'heads', heads: count });
    for (const count of [0, 0.5, 1.5, 1 / 3, 2, 1_000]) expect(heads(count).fact).toMatchObject({ kind: 'heads', heads: count });
    for (const count of [-0.5, 1_000.5, Number.NaN, Number.POSITIVE_INFINITY, '2', null]) expect(heads(count).problem?.error.where).toBe('heads');
  });

  it('refuses what a database could not keep, and gives ids in lower case', () => {
    expect(parseFact({ ...good, unit: 'CF\u00001' }).problem?.error.where).toBe('unit');
    expect(parseFact({ ...good, unit: 'CF\ud800' }).problem?.error.where).toBe('unit');
    expect(parseFact({ ...good, unit: 'CF😀' }).problem).toBeNull();
    expect(parseFact({ ...good, id: good.id.toUpperCase() }).fact?.id).toBe(good.id);
  });

  it('answers anything at all without throwing', () => {
    const near = fc.record({ kind: fc.constantFrom('arrive', 'void', 'register', 'openUntil', 'leaveShort') }).chain((kind) => fc.jsonValue().map((rest) => ({ ...good, ...(typeof rest === 'object' ? rest : {}), ...kind })));
    fc.assert(fc.property(fc.oneof(fc.anything(), near), (value) => {
      const { fact, problem } = parseFact(value);
      expect((fact === null) !== (problem === null)).toBe(true);
    }));
  });
});

describe('what the demo plant states', () => {
  it('crosses the wire and comes back the same', () => {
    const now = Date.parse('2026-11-25T15:00:00Z');
    const facts = simulateDemo({ plant: demoPlant(now), now, seed: 7, speed: 1 }, 5).factsUntil(now);
    expect(facts.length).toBeGreaterThan(500);
    for (const fact of facts) expect(parseFact(toWire(fact)).fact).toEqual(fact);
  });
});
