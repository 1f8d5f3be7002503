import type { Fact, FactKind } from '../facts/fact.ts';
import type { Role } from './roles.ts';

/** Who asks: a paired kiosk for itself, or a person in a role. */
export type Holder = 'kiosk' | Role;

/** `anyone` needs nothing, `signedIn` a kiosk or a person of any plant; else one of the holders, in the plant that the address names. */
export type RouteRight = 'anyone' | 'signedIn' | readonly Holder[];

const SEES: readonly Holder[] = ['kiosk', 'lead', 'worker', 'inspector', 'supervisor', 'quality', 'productionControl', 'administrator'];
const FINDS: readonly Holder[] = ['kiosk', 'lead', 'worker', 'inspector', 'supervisor', 'quality'];
const KEEPS_PEOPLE: readonly Holder[] = ['administrator'];
const CONFIRMS: readonly Holder[] = ['quality', 'administrator'];
const PAIRS: readonly Holder[] = ['supervisor', 'administrator'];

/** Every route under /api and every event of the socket: who may. What is not in the table is refused, and the program does not start. */
export const ROUTE_RIGHTS = {
  'GET /api/me': 'anyone',
  'GET /api/clock': 'anyone',
  'POST /api/sign-in': 'anyone',
  'POST /api/oidc/begin': 'anyone',
  'GET /api/oidc/callback': 'anyone',
  'POST /api/sign-out': 'anyone',
  'POST /api/links': 'anyone',
  'POST /api/pair': 'anyone',
  'POST /api/pair-demo': 'anyone',
  'GET /api/schemas/plant.json': 'signedIn',
  'GET /api/plants': 'signedIn',
  'POST /api/plants/:plant/pin': ['kiosk'],
  'GET /api/plants/:plant/setup': SEES,
  'PUT /api/plants/:plant/setup': ['administrator'],
  // Each fact is judged by itself, below; a revoked kiosk may still hand in what it stated before.
  'POST /api/plants/:plant/facts': SEES,
  'GET /api/plants/:plant/snapshot': SEES,
  'GET /api/plants/:plant/late': SEES,
  'GET /api/plants/:plant/late.csv': SEES,
  'GET /api/plants/:plant/late.xlsx': SEES,
  'GET /api/plants/:plant/late.pdf': SEES,
  'GET /api/plants/:plant/loads': SEES,
  'GET /api/plants/:plant/loads.csv': SEES,
  'GET /api/plants/:plant/loads.xlsx': SEES,
  'GET /api/plants/:plant/kiosks': SEES,
  'GET /api/plants/:plant/units/template.csv': SEES,
  'POST /api/plants/:plant/units/import': ['productionControl'],
  'GET /api/plants/:plant/units/:unit': SEES,
  'GET /api/plants/:plant/units/:unit/offered-vin': SEES,
  'GET /api/plants/:plant/units/:unit/traveler': SEES,
  'GET /api/plants/:plant/units/:unit/tags': SEES,
  'GET /api/plants/:plant/units/:unit/labels': SEES,
  'GET /api/plants/:plant/units/:unit/ways-back': SEES,
  'GET /api/plants/:plant/placards': SEES,
  'GET /api/plants/:plant/forecast': SEES,
  'GET /api/plants/:plant/trust': SEES,
  // Changes nothing; takes the pool's time, so only who plans may ask.
  'POST /api/plants/:plant/plans': ['supervisor', 'productionControl', 'administrator'],
  'POST /api/plants/:plant/units/:unit/release': ['quality'],
  'POST /api/plants/:plant/units/:unit/revoke-release': ['quality'],
  // A gate is passed there only by who may override it, as the route says.
  'POST /api/plants/:plant/ship': ['productionControl', 'quality'],
  'GET /api/plants/:plant/ship-list.csv': SEES,
  // Confirming limits or label figures makes a version of the set-up.
  'POST /api/plants/:plant/checks/:check/items/:item/confirm': CONFIRMS,
  'POST /api/plants/:plant/units/:unit/labels/confirm': CONFIRMS,
  'PUT /api/plants/:plant/photos/:photo': FINDS,
  'GET /api/plants/:plant/photos/:photo': SEES,
  'GET /api/plants/:plant/which-units': SEES,
  'GET /api/plants/:plant/which-units.csv': SEES,
  'GET /api/plants/:plant/common-findings': SEES,
  'GET /api/plants/:plant/quality-rates': SEES,
  'GET /api/plants/:plant/claims.csv': SEES,
  'GET /api/plants/:plant/claims/template.csv': SEES,
  'POST /api/plants/:plant/claims/import': ['quality'],
  'GET /api/plants/:plant/campaigns': SEES,
  'POST /api/plants/:plant/campaigns': ['quality'],
  'GET /api/plants/:plant/campaigns/:campaign/units.csv': SEES,
  'GET /api/plants/:plant/lines/:line/delay': SEES,
  'GET /api/plants/:plant/lines/:line/delay/shifts': SEES,
  'GET /api/plants/:plant/lines/:line/delay/shifts.csv': SEES,
  'GET /api/plants/:plant/lines/:line/delay/shifts.xlsx': SEES,
  'GET /api/plants/:plant/lines/:line/summary': SEES,
  'GET /api/plants/:plant/lines/:line/summary.csv': SEES,
  'GET /api/plants/:plant/lines/:line/summary.xlsx': SEES,
  'GET /api/plants/:plant/lines/:line/dwell': SEES,
  'GET /api/plants/:plant/lines/:line/dwell.csv': SEES,
  'GET /api/plants/:plant/lines/:line/dwell.xlsx': SEES,
  'GET /api/plants/:plant/lines/:line/dwell/causes.csv': SEES,
  'GET /api/plants/:plant/lines/:line/dwell/causes.xlsx': SEES,
  'GET /api/plants/:plant/lines/:line/dwell/visits': SEES,
  'GET /api/plants/:plant/lines/:line/dwell/visits.csv': SEES,
  'GET /api/plants/:plant/lines/:line/dwell/visits.xlsx': SEES,
  'GET /api/plants/:plant/lines/:line/scans': SEES,
  'GET /api/plants/:plant/lines/:line/scans.csv': SEES,
  'GET /api/plants/:plant/lines/:line/scans.xlsx': SEES,
  'GET /api/plants/:plant/lines/:line/scans/marks': SEES,
  'GET /api/plants/:plant/lines/:line/scans/marks.csv': SEES,
  'GET /api/plants/:plant/lines/:line/scans/marks.xlsx': SEES,
  'GET /api/plants/:plant/badges': SEES,
  'GET /api/plants/:plant/people': KEEPS_PEOPLE,
  'POST /api/plants/:plant/people': KEEPS_PEOPLE,
  'PUT /api/plants/:plant/people/:person': KEEPS_PEOPLE,
  'POST /api/plants/:plant/people/:person/link': KEEPS_PEOPLE,
  'GET /api/plants/:plant/devices': PAIRS,
  'POST /api/plants/:plant/devices/codes': PAIRS,
  'POST /api/plants/:plant/devices/:device/code': PAIRS,
  'POST /api/plants/:plant/devices/:device/revoke': PAIRS,
  'GET /api/plants/:plant/audit': ['administrator'],
  'SOCKET changed': SEES,
  'SOCKET setupChanged': SEES,
  'SOCKET forecastMade': SEES,
  'SOCKET devices': SEES,
  'SOCKET device': SEES,
} as const satisfies Record<string, RouteRight>;

export type RouteName = keyof typeof ROUTE_RIGHTS;

/** The right of a route by its name, null for one that is not in the table. */
export function rightOfRoute(name: string): RouteRight | null {
  return Object.hasOwn(ROUTE_RIGHTS, name) ? ROUTE_RIGHTS[name as RouteName] : null;
}

export interface FactRight {
  /** Roles of the person who states it. */
  roles: readonly Role[];
  /** A badge at a kiosk is enough; else the person must be signed in, by password or by badge and PIN. */
  badge: boolean;
}

const FLOOR: FactRight = { roles: ['lead', 'worker', 'inspector', 'supervisor', 'quality'], badge: true };
const LEADS: FactRight = { roles: ['lead', 'supervisor', 'quality'], badge: true };
const CREW: FactRight = { roles: ['lead', 'supervisor'], badge: true };
const CHECKS: FactRight = { roles: ['inspector', 'lead', 'quality'], badge: true };
const SHIPS: FactRight = { roles: ['productionControl', 'quality'], badge: false };
const OFFICE: FactRight = { roles: ['productionControl'], badge: false };

/** Every kind of fact: who may state it. A fact of the floor needs a badge, one of the office a person who is signed in. */
export const FACT_RIGHTS: Record<FactKind, FactRight> = {
  arrive: FLOOR, finish: FLOOR, leave: FLOOR, leaveShort: FLOOR, fitShort: FLOOR, openHold: FLOOR, clearHold: FLOOR, openStop: FLOOR, clearStop: FLOOR,
  pullOff: LEADS, putBack: LEADS, park: LEADS, seen: LEADS, missing: LEADS, identify: LEADS,
  roll: CREW, openUntil: CREW, goneHome: CREW, heads: CREW, loan: CREW, note: CREW, openAction: CREW, closeAction: CREW,
  release: { roles: ['quality'], badge: false },
  revokeRelease: { roles: ['quality'], badge: false },
  findWork: FLOOR, fixWork: FLOOR, reopenWork: FLOOR, coverZones: FLOOR, uncoverZones: LEADS, recordPart: FLOOR, removePart: LEADS,
  verifyWork: CHECKS, checkResult: CHECKS,
  overrideGate: { roles: ['supervisor', 'quality'], badge: false },
  settleItem: { roles: ['quality', 'productionControl'], badge: false },
  ship: SHIPS,
  comeBack: { roles: ['productionControl', 'quality', 'supervisor'], badge: false },
  openCampaign: { roles: ['quality'], badge: false }, signStep: FLOOR, dealerClaim: { roles: ['quality'], badge: false },
  putOnLoad: SHIPS, planLoad: SHIPS, callCarrier: SHIPS,
  register: OFFICE, resequence: OFFICE, replan: OFFICE, promise: OFFICE, wish: OFFICE, changeDealer: OFFICE, changeBuild: OFFICE, cancel: OFFICE,
  bindVin: { roles: ['productionControl', 'quality'], badge: false },
  // Undoing what the same device stated takes its right; voiding what another stated takes a supervisor or quality, signed in.
  void: FLOOR,
};

/** The right that a fact takes: what passes a gate takes that of overriding it, besides its own kind's. */
export function rightsFor(fact: Fact): FactRight[] {
  const own = FACT_RIGHTS[fact.kind];
  return fact.kind === 'ship' && fact.override !== undefined ? [own, FACT_RIGHTS.overrideGate] : [own];
}

/** Who may void what another device stated. */
export const VOIDS_OF_OTHERS: FactRight = { roles: ['supervisor', 'quality', 'productionControl'], badge: false };
