export const stationWords = {} as const;
