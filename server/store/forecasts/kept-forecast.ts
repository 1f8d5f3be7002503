import type { LineForecast } from '../../core/forecast/line-forecast.ts';
import type { Instant } from '../../core/units.ts';

/** A forecast with what was known when it was made: the number of the last fact, and when that was recorded (null: there was none). */
export interface KeptForecast {
  forecast: LineForecast;
  version: number;
  factsAt: Instant | null;
}
