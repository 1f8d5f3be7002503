import type { ClaimBack } from '../core/rates/claims-back.ts';
import type { ParetoRow } from '../core/rates/pareto.ts';
import type { QualityRates } from '../core/rates/quality-rates.ts';
import type { LocalDate } from '../core/units.ts';

type Bars = ParetoRow<{ label: string; amount: number }>[];

/** Answer of GET /api/plants/:plant/quality-rates. */
export interface QualityRatesReply extends QualityRates {
  first: LocalDate;
  last: LocalDate;
  /** Dealers' claims of the period by their day, the latest first, with where they lead back to. */
  claims: ClaimBack[];
  claimsByStation: Bars;
  claimsByCheck: Bars;
}
