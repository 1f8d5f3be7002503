import type { ForecastMaterial } from '../core/forecast/forecast-material.ts';
import { type ForecastWish, lineForecast, type LineForecast } from '../core/forecast/line-forecast.ts';

/** What another thread tells a forecast from; the visits are still text. */
export interface PostedMaterial {
  material: Omit<ForecastMaterial, 'visits'>;
  visits: string;
}

export function readMaterial({ material, visits }: PostedMaterial): ForecastMaterial {
  return { ...material, visits: JSON.parse(visits) as ForecastMaterial['visits'] };
}

export function lineForecastOf({ posted, wish }: { posted: PostedMaterial; wish: ForecastWish }): LineForecast | null {
  return lineForecast(readMaterial(posted), wish);
}
