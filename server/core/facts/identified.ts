import type { Fact } from './fact.ts';

/** The unit that a scanned serial is: itself, or the one it was identified as. `counting` are facts that count (`effectiveFacts`). */
export function identifiedBy(counting: readonly Fact[]): (scanned: string) => string {
  const identified = new Map<string, string>();
  for (const fact of counting) if (fact.kind === 'identify') identified.set(fact.scanned, fact.unit);
  return (scanned) => identified.get(scanned) ?? scanned;
}
