import type { Fact } from '../core/facts/fact.ts';
import type { Instant } from '../core/units.ts';

const INSTANTS = ['happened', 'until', 'plannedRelease', 'pickUp', 'due'] as const;

/** The fact as it crosses the wire: its instants in ISO 8601. Without zod, for the kiosk. */
export function toWire(fact: Fact): Record<string, unknown> {
  const wire: Record<string, unknown> = { ...fact };
  for (const field of INSTANTS) {
    const value = wire[field];
    if (typeof value === 'number') wire[field] = new Date(value as Instant).toISOString();
  }
  if (fact.kind === 'leaveShort') wire['items'] = fact.items.map((item) => ({ ...item, expected: item.expected === null ? null : new Date(item.expected).toISOString() }));
  return wire;
}
