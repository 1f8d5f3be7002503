/**
 * Answers many who ask the same within `freshMs` of its making with one answer; who asks while it is made waits for it. A failure is told to those
 * who waited, and not kept.
 */
export function coalesced<T>(freshMs: number): (key: string, make: () => Promise<T>) => Promise<T> {
  const kept = new Map<string, { until: number; answer: Promise<T> }>();
  return (key, make) => {
    const before = kept.get(key);
    if (before && performance.now() < before.until) return before.answer;
    const entry = { until: Number.POSITIVE_INFINITY, answer: make() };
    kept.set(key, entry);
    entry.answer.then(() => (entry.until = performance.now() + freshMs), () => kept.delete(key));
    return entry.answer;
  };
}
