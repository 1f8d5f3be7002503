import type { Instant } from '../../core/units.ts';
import type { Db } from '../../store/database.ts';
import type { AccessMemory } from './access-memory.ts';
import type { Audit } from './audit.ts';
import type { Provider } from './provider.ts';

/** What everything about people and devices works with. */
export interface AccessParts {
  db: Db;
  now(): Instant;
  memory: AccessMemory;
  audit: Audit;
  /** Null: people sign in by password alone. */
  provider: Provider | null;
  log(message: string): void;
}
