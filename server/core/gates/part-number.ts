import { tireNumberFault, type TireNumberFault, tireNumberIn } from './tire-number.ts';

/** `form`: not as the plant says that such numbers look. */
export type PartNumberFault = TireNumberFault | 'form';

/** What is wrong with a component's number by the format of its kind, or null. */
export function partNumberFault(format: string | undefined, number: string): PartNumberFault | null {
  if (format === undefined) return null;
  if (format === 'dotTin') return tireNumberFault(tireNumberIn(number));
  return new RegExp(`^(?:${format})$`, 'i').test(number) ? null : 'form';
}

/** The number as it is kept: of a tyre without what stands around it. */
export function partNumberIn(format: string | undefined, said: string): string {
  return format === 'dotTin' ? tireNumberIn(said) : said.trim();
}
