import type { Instant } from '../../core/units.ts';
import { insertAudit } from '../../store/access/audit-trail.ts';
import type { Db } from '../../store/database.ts';
import { badgeOf, type Caller } from './caller.ts';

/** What the audit trail keeps, by what happened. */
export type Audited =
  | 'signedIn' | 'signInRefused' | 'signedOut' | 'linkMade' | 'linkUsed' | 'personAdded' | 'personChanged' | 'pairingCodeMade' | 'pairingRefused' | 'devicePaired'
  | 'deviceRevoked' | 'factsRefused' | 'setupLoaded' | 'unitsImported' | 'unitReleased';

export type Audit = (caller: Caller, plant: string | null, what: Audited, detail?: Record<string, unknown>) => Promise<void>;

export function createAudit(db: Db, now: () => Instant): Audit {
  return ({ device, session, source }, plant, what, detail = {}) => insertAudit(db, {
    at: now(), plant, what, person: session?.person.id ?? null, who: session ? badgeOf(session.person) : '', device: device?.code ?? '', source, detail,
  });
}
