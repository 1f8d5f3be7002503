import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FACT_RIGHTS, rightOfRoute, ROUTE_RIGHTS } from '../../../server/core/access/rights.ts';
import { type Role, ROLES } from '../../../server/core/access/roles.ts';
import { factSchema } from '../../../server/contract/fact.ts';

/**
 * The table of the design (people and devices), told a second time by what each role may: first letters of lead, worker, inspector, supervisor,
 * quality, production control, administrator; `!` after them: the person must be signed in.
 */
const FACTS: Record<string, string> = {
  arrive: 'LWISQ', finish: 'LWISQ', leave: 'LWISQ', leaveShort: 'LWISQ', fitShort: 'LWISQ', openHold: 'LWISQ', clearHold: 'LWISQ', openStop: 'LWISQ', clearStop: 'LWISQ', void: 'LWISQ',
  findWork: 'LWISQ', fixWork: 'LWISQ', reopenWork: 'LWISQ', coverZones: 'LWISQ', recordPart: 'LWISQ',
  pullOff: 'LSQ', putBack: 'LSQ', park: 'LSQ', seen: 'LSQ', missing: 'LSQ', identify: 'LSQ', uncoverZones: 'LSQ', removePart: 'LSQ',
  roll: 'LS', openUntil: 'LS', goneHome: 'LS', heads: 'LS', loan: 'LS', note: 'LS', openAction: 'LS', closeAction: 'LS',
  verifyWork: 'LIQ', checkResult: 'LIQ', overrideGate: 'SQ!', settleItem: 'QP!', release: 'Q!', revokeRelease: 'Q!', ship: 'QP!', comeBack: 'SQP!', bindVin: 'QP!',
  openCampaign: 'Q!', signStep: 'LWISQ', dealerClaim: 'Q!', putOnLoad: 'QP!', planLoad: 'QP!', callCarrier: 'QP!',
  register: 'P!', resequence: 'P!', replan: 'P!', promise: 'P!', wish: 'P!', changeDealer: 'P!', changeBuild: 'P!', cancel: 'P!',
};
const LETTERS: Record<string, Role> = { L: 'lead', W: 'worker', I: 'inspector', S: 'supervisor', Q: 'quality', P: 'productionControl', A: 'administrator' };

describe('who may state a fact', () => {
  const kinds = factSchema.def.options.map((option) => [...option.def.shape.kind.def.values][0] as string);

  it('is said of every kind that there is, and of no other', () => {
    expect(Object.keys(FACT_RIGHTS).sort()).toEqual(kinds.toSorted());
    expect(Object.keys(FACTS).sort()).toEqual(kinds.toSorted());
  });

  it.each(Object.entries(FACTS))('%s: %s', (kind, said) => {
    const right = FACT_RIGHTS[kind as keyof typeof FACT_RIGHTS];
    for (const [letter, role] of Object.entries(LETTERS)) expect([role, right.roles.includes(role)]).toEqual([role, said.includes(letter)]);
    expect(right.badge).toBe(!said.endsWith('!'));
  });

  it('gives an administrator nothing on the floor', () => {
    expect(Object.values(FACT_RIGHTS).filter(({ roles }) => roles.includes('administrator'))).toEqual([]);
  });
});

describe('who may use a route', () => {
  it('needs nothing only where somebody is let in', () => {
    const open = Object.entries(ROUTE_RIGHTS).filter(([, right]) => right === 'anyone').map(([name]) => name);
    expect(open.sort()).toEqual(['GET /api/clock', 'GET /api/me', 'GET /api/oidc/callback', 'POST /api/links', 'POST /api/oidc/begin', 'POST /api/pair', 'POST /api/pair-demo', 'POST /api/sign-in', 'POST /api/sign-out']);
  });

  it('is a role of the plant wherever the address names one', () => {
    for (const [name, right] of Object.entries(ROUTE_RIGHTS)) {
      expect([name, Array.isArray(right)]).toEqual([name, name.includes('/:plant') || name.startsWith('SOCKET ')]);
      if (Array.isArray(right)) for (const holder of right) expect(['kiosk', ...ROLES]).toContain(holder);
    }
  });

  it('lets a kiosk only read, hand in facts and their photos, and ask for a PIN', () => {
    const writes = Object.entries(ROUTE_RIGHTS).filter(([name, right]) => !name.startsWith('GET ') && !name.startsWith('SOCKET ') && Array.isArray(right) && (right as readonly string[]).includes('kiosk'));
    expect(writes.map(([name]) => name)).toEqual(['POST /api/plants/:plant/pin', 'POST /api/plants/:plant/facts', 'PUT /api/plants/:plant/photos/:photo']);
  });

  it('keeps people, set-up and audit trail for administrators, pairing for supervisors too', () => {
    const only = (right: string): string[] => Object.entries(ROUTE_RIGHTS).filter(([, holders]) => Array.isArray(holders) && holders.join() === right).map(([name]) => name);
    expect(only('administrator')).toEqual([
      'PUT /api/plants/:plant/setup', 'GET /api/plants/:plant/people', 'POST /api/plants/:plant/people', 'PUT /api/plants/:plant/people/:person', 'POST /api/plants/:plant/people/:person/link',
      'GET /api/plants/:plant/audit',
    ]);
    expect(only('supervisor,administrator')).toEqual(['GET /api/plants/:plant/devices', 'POST /api/plants/:plant/devices/codes', 'POST /api/plants/:plant/devices/:device/code', 'POST /api/plants/:plant/devices/:device/revoke']);
  });

  it('is refused for what is not in the table, names of every object included', () => {
    for (const name of ['GET /api/nothing', 'toString', '__proto__', 'constructor', '']) expect(rightOfRoute(name)).toBeNull();
  });

  it('is asked for by every event that a socket tells', () => {
    const live = readFileSync(new URL('../../../server/contract/live.ts', import.meta.url), 'utf8');
    const events = [.../interface ServerToClientEvents \{([^}]*)\}/.exec(live)![1]!.matchAll(/^\s+(\w+):/gm)].map((match) => `SOCKET ${match[1]}`);
    expect(events.length).toBeGreaterThan(0);
    for (const event of events) expect(rightOfRoute(event)).toContain('kiosk');
  });
});
