/** Codes of the stages that are no station. */
export const AFTER_LINE = { offLine: 'after-line off-line', touchUp: 'after-line touch-up', release: 'after-line release', pickUp: 'after-line pick-up' } as const;
