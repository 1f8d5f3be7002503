import type { ScreenName } from '../data/route.ts';

/** Loads a screen's element, `sh-NAME-screen`, when it is first opened: no screen waits for the others. */
export const SCREEN_MODULES: Record<ScreenName, () => Promise<unknown>> = {
  station: () => import('./station-screen.ts'),
  work: () => import('./work-screen.ts'),
  checks: () => import('./checks-screen.ts'),
  access: () => import('./access-screen.ts'),
  parts: () => import('./parts-screen.ts'),
  walk: () => import('./walk-screen.ts'),
  crew: () => import('./crew-screen.ts'),
  board: () => import('./board-screen.ts'),
  holds: () => import('./holds-screen.ts'),
  summary: () => import('./summary-screen.ts'),
  dwell: () => import('./dwell-screen.ts'),
  scans: () => import('./scans-screen.ts'),
  late: () => import('./late-screen.ts'),
  loads: () => import('./loads-screen.ts'),
  release: () => import('./release-screen.ts'),
  schedule: () => import('./schedule-screen.ts'),
  plans: () => import('./plans-screen.ts'),
  trust: () => import('./trust-screen.ts'),
  rates: () => import('./rates-screen.ts'),
  trace: () => import('./trace-screen.ts'),
  paper: () => import('./paper-screen.ts'),
  kiosks: () => import('./kiosks-screen.ts'),
  unit: () => import('./unit-screen.ts'),
};
