import { locale } from './catalogue.ts';

/** A number of heads as it is written in the language in use: whole, or with a half. */
export function heads(n: number): string {
  return n.toLocaleString(locale(), { maximumFractionDigits: 1 });
}
