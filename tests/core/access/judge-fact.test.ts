import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeFact, type Judged, statedAt } from '../../../server/core/access/judge-fact.ts';
import { FACT_RIGHTS, VOIDS_OF_OTHERS } from '../../../server/core/access/rights.ts';
import { CLOCK_SKEW_MS, covers, type DeviceRights, type PersonRights, type Role, ROLES, rolesAt } from '../../../server/core/access/roles.ts';
import type { Fact, FactKind } from '../../../server/core/facts/fact.ts';

const HOUR = 3_600_000;
const T0 = Date.parse('2026-06-01T06:00:00Z');
const NOW = T0 + 10 * HOUR;
const KINDS = Object.keys(FACT_RIGHTS) as FactKind[];

const person = (roles: readonly Role[], more: Partial<PersonRights> = {}): PersonRights => ({
  id: 'p1', name: 'Lead 03', language: 'en', houseAdministrator: false,
  roles: roles.map((role) => ({ plant: 'P', role, from: T0, until: null })), badges: [{ code: 'B1', from: T0, until: null }], ...more,
});
const kiosk = (more: Partial<DeviceRights> = {}): DeviceRights => ({ id: 'd1', code: 'K1', plant: 'P', name: 'Kiosk', stations: null, from: T0, until: null, ...more });
const fact = (kind: FactKind, more: Partial<Record<string, unknown>> = {}): Fact =>
  ({ id: '0', kind, happened: T0 + HOUR, told: false, who: 'B1', device: 'K1', counter: 1, station: null, fact: 'own', ...more }) as unknown as Fact;
const judged = (who: PersonRights | null, more: Partial<Judged> = {}): Judged => ({
  plant: 'P', now: NOW, device: 'K1', lettingsIn: [kiosk()], sessions: [], pins: new Map(), wearer: (badge) => (badge === 'B1' ? who : null), statedBy: (id) => (id === 'own' ? 'K1' : id === 'other' ? 'K2' : null), ...more,
});
const SIGNED_IN = [{ person: 'p1', from: T0, until: null }];

describe('the right to state a fact', () => {
  it('over the whole table: every kind, role, own and other plant, badge and signed in', () => {
    for (const kind of KINDS) for (const role of ROLES) for (const plant of ['P', 'Q']) for (const signedIn of [false, true]) {
      const why = judgeFact(fact(kind), judged(person([role]), { plant, sessions: signedIn ? SIGNED_IN : [] }));
      const { roles, badge } = FACT_RIGHTS[kind];
      const voids = kind === 'void' && VOIDS_OF_OTHERS.roles.includes(role) && !roles.includes(role);
      const may = plant === 'P' && (roles.includes(role) ? badge || signedIn : voids && signedIn);
      expect([kind, role, plant, signedIn, why === null]).toEqual([kind, role, plant, signedIn, may]);
    }
  });

  it('takes the right of overriding a gate besides for shipping what is not released', () => {
    const may = (role: Role, more: object) => judgeFact(fact('ship', more), judged(person([role]), { sessions: SIGNED_IN }));
    expect([may('productionControl', {}), may('productionControl', { override: 'why' }), may('quality', { override: 'why' })]).toEqual([null, 'noRole', null]);
    expect(judgeFact(fact('ship', { override: 'why' }), judged(person(['productionControl', 'supervisor']), { sessions: SIGNED_IN }))).toBeNull();
  });

  it('is that of the instant at which it happened: a kiosk revoked, a role ended, a badge taken back', () => {
    const until = T0 + 2 * HOUR;
    const cases: [string, Judged][] = [
      ['notPaired', judged(person(['lead']), { lettingsIn: [kiosk({ until })] })],
      ['noRole', judged(person([], { roles: [{ plant: 'P', role: 'lead', from: T0, until }] }))],
      ['unknownBadge', judged(person(['lead'], { badges: [{ code: 'B1', from: T0, until }] }))],
    ];
    for (const [why, at] of cases) {
      expect(judgeFact(fact('arrive', { happened: until - 1 }), at)).toBeNull();
      expect(judgeFact(fact('arrive', { happened: until }), at)).toBe(why);
    }
  });

  it('is that of when it was said, where a person said the instant', () => {
    const id = `${(T0 + HOUR).toString(16).padStart(12, '0')}-7000-8000-000000000000`.replace(/^(.{8})(.{4})/, '$1-$2');
    expect(statedAt(fact('arrive', { id, told: true, happened: T0 - 50 * HOUR }), NOW)).toBe(T0 + HOUR);
    expect(judgeFact(fact('arrive', { id, told: true, happened: T0 - 50 * HOUR }), judged(person(['lead'])))).toBeNull();
    expect(judgeFact(fact('arrive', { id, told: false, happened: T0 - 50 * HOUR }), judged(person(['lead'])))).toBe('unknownBadge');
    // An instant to come is recorded and flagged, so it is judged by now.
    expect(statedAt(fact('arrive', { happened: NOW + HOUR }), NOW)).toBe(NOW);
    expect(judgeFact(fact('arrive', { happened: NOW + HOUR }), judged(person(['lead'])))).toBeNull();
  });

  it('by the PIN that comes with it is that of who is signed in, at a kiosk of the plant alone, and a wrong PIN is none', () => {
    const pins = (right: boolean): Judged['pins'] => new Map([['0', right]]);
    for (const kind of KINDS) for (const role of ROLES) {
      const byPin = judgeFact(fact(kind), judged(person([role]), { pins: pins(true) }));
      expect([kind, role, byPin]).toEqual([kind, role, judgeFact(fact(kind), judged(person([role]), { sessions: SIGNED_IN }))]);
      expect([kind, role, judgeFact(fact(kind), judged(person([role]), { pins: pins(false), sessions: SIGNED_IN }))]).toEqual([kind, role, 'wrongPin']);
    }
    const supervisor = person(['supervisor']);
    expect(judgeFact(fact('overrideGate'), judged(supervisor))).toBe('notSignedIn');
    expect(judgeFact(fact('overrideGate'), judged(supervisor, { pins: new Map([['another', true]]) }))).toBe('notSignedIn');
    expect(judgeFact(fact('overrideGate'), judged(supervisor, { pins: pins(true), lettingsIn: [kiosk({ plant: null })] }))).toBe('notPaired');
    expect(judgeFact(fact('overrideGate'), judged(supervisor, { pins: pins(true), lettingsIn: [kiosk({ plant: 'Q' })] }))).toBe('notPaired');
    expect(judgeFact(fact('overrideGate', { happened: T0 + 3 * HOUR }), judged(supervisor, { pins: pins(true), lettingsIn: [kiosk({ until: T0 + 2 * HOUR })] }))).toBe('notPaired');
  });

  it('begins five minutes early, for clocks differ, and never ends late', () => {
    expect(judgeFact(fact('arrive', { happened: T0 - CLOCK_SKEW_MS }), judged(person(['lead'])))).toBeNull();
    expect(judgeFact(fact('arrive', { happened: T0 - CLOCK_SKEW_MS - 1 }), judged(person(['lead'])))).not.toBeNull();
    fc.assert(fc.property(fc.integer({ min: -HOUR, max: HOUR }), fc.integer({ min: 0, max: HOUR }), (from, length) => {
      const span = { from, until: from + length };
      expect(covers(span, from)).toBe(length > 0);
      expect(covers(span, from + length)).toBe(false);
      expect(covers({ from, until: null }, from + length)).toBe(true);
    }));
  });

  it('is that of the device which sends: not another, not one let in elsewhere, only its stations', () => {
    const lead = person(['lead']);
    expect(judgeFact(fact('arrive', { device: 'K2' }), judged(lead))).toBe('otherDevice');
    expect(judgeFact(fact('arrive'), judged(lead, { lettingsIn: [] }))).toBe('notPaired');
    expect(judgeFact(fact('arrive'), judged(lead, { lettingsIn: [kiosk({ plant: 'Q' })] }))).toBe('notPaired');
    const serves = judged(lead, { lettingsIn: [kiosk({ stations: ['S1', 'S2'] })] });
    expect(judgeFact(fact('arrive', { station: 'S2' }), serves)).toBeNull();
    expect(judgeFact(fact('arrive', { station: 'S3' }), serves)).toBe('otherStation');
    expect(judgeFact(fact('arrive', { station: 'S3' }), { ...serves, sessions: SIGNED_IN })).toBeNull();
  });

  it('of a desk is that of who is or was signed in there', () => {
    const desk = [kiosk({ plant: null })];
    const control = person(['productionControl']);
    expect(judgeFact(fact('promise'), judged(control, { lettingsIn: desk }))).toBe('notPaired');
    expect(judgeFact(fact('promise'), judged(control, { lettingsIn: desk, sessions: SIGNED_IN }))).toBeNull();
    expect(judgeFact(fact('promise'), judged(control, { lettingsIn: desk, sessions: [{ person: 'p2', from: T0, until: null }] }))).toBe('notPaired');
    const ended = [{ person: 'p1', from: T0, until: T0 + 2 * HOUR }];
    expect(judgeFact(fact('promise', { happened: T0 + HOUR }), judged(control, { lettingsIn: desk, sessions: ended }))).toBeNull();
    expect(judgeFact(fact('promise', { happened: T0 + 3 * HOUR }), judged(control, { lettingsIn: desk, sessions: ended }))).toBe('notPaired');
  });

  it('to void is the own device\'s, else a supervisor\'s or quality\'s who is signed in', () => {
    const voids = (target: string): Fact => fact('void', { fact: target });
    expect(judgeFact(voids('own'), judged(person(['worker'])))).toBeNull();
    expect(judgeFact(voids('other'), judged(person(['worker'])))).toBe('voidOfOthers');
    expect(judgeFact(voids('nowhere'), judged(person(['worker'])))).toBe('voidOfOthers');
    expect(judgeFact(voids('other'), judged(person(['worker']), { sessions: SIGNED_IN }))).toBe('voidOfOthers');
    expect(judgeFact(voids('other'), judged(person(['supervisor'])))).toBe('voidOfOthers');
    expect(judgeFact(voids('other'), judged(person(['supervisor']), { sessions: SIGNED_IN }))).toBeNull();
    expect(judgeFact(voids('other'), judged(person(['productionControl']), { sessions: SIGNED_IN }))).toBeNull();
    expect(judgeFact(voids('own'), judged(person(['productionControl'])))).toBe('notSignedIn');
  });

  it('is never more with fewer roles, lettings-in or sessions', () => {
    const some = fc.record({
      kind: fc.constantFrom(...KINDS), roles: fc.uniqueArray(fc.constantFrom(...ROLES)), drop: fc.constantFrom(...ROLES), session: fc.boolean(), paired: fc.boolean(), happened: fc.integer({ min: T0 - HOUR, max: NOW + HOUR }),
    });
    fc.assert(fc.property(some, ({ kind, roles, drop, session, paired, happened }) => {
      const may = (has: readonly Role[], sessions: boolean, lettings: boolean): boolean =>
        judgeFact(fact(kind, { happened }), judged(person(has), { sessions: sessions ? SIGNED_IN : [], lettingsIn: lettings ? [kiosk()] : [] })) === null;
      const all = may(roles, session, paired);
      if (may(roles.filter((role) => role !== drop), session, paired)) expect(all).toBe(true);
      if (may(roles, false, paired)) expect(may(roles, true, paired)).toBe(true);
      expect(may(roles, session, false)).toBe(false);
    }));
  });
});

describe('roles at an instant', () => {
  it('are those of the plant; an administrator of the house is one everywhere, once', () => {
    const both = person([], { roles: [{ plant: 'P', role: 'lead', from: T0, until: null }, { plant: 'Q', role: 'quality', from: T0, until: null }] });
    expect(rolesAt(both, 'P', NOW)).toEqual(['lead']);
    expect(rolesAt(both, 'Q', NOW)).toEqual(['quality']);
    expect(rolesAt(both, 'R', NOW)).toEqual([]);
    expect(rolesAt({ ...both, houseAdministrator: true }, 'R', NOW)).toEqual(['administrator']);
    expect(rolesAt(person(['administrator'], { houseAdministrator: true }), 'P', NOW)).toEqual(['administrator']);
  });
});
