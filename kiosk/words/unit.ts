export const unitWords = {} as const;
