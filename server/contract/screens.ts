/**
 * The screens that have an address of their own, `/PLANT/name`, in the groups in which a person looks for them: what is done on the floor, how the line
 * runs, what is right and what is not, what goes out, and what the plant is set up with.
 */
export const SCREEN_GROUPS = {
  floor: ['station', 'walk', 'crew', 'kiosks'],
  line: ['board', 'holds', 'summary', 'dwell', 'scans'],
  quality: ['work', 'checks', 'access', 'parts', 'release', 'trace', 'rates'],
  ship: ['late', 'loads', 'schedule', 'plans', 'trust'],
  plant: ['paper', 'people', 'devices', 'audit'],
} as const;

export type ScreenGroup = keyof typeof SCREEN_GROUPS;
export type ListedScreen = (typeof SCREEN_GROUPS)[ScreenGroup][number];

export const LISTED_SCREENS: readonly ListedScreen[] = Object.values(SCREEN_GROUPS).flat();
