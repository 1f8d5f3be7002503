/** Events of the simulated plant in the order of their minute; equal minutes in the order in which they were put in. */
export interface EventQueue {
  at(minute: number, run: () => void): void;
  /** Runs events until none is left at or before `until`. */
  runUntil(until: number): void;
  now(): number;
}

export function createEventQueue(): EventQueue {
  const heap: { minute: number; order: number; run: () => void }[] = [];
  let now = 0;
  let order = 0;
  const before = (a: number, b: number): boolean => {
    const x = heap[a]!;
    const y = heap[b]!;
    return x.minute < y.minute || (x.minute === y.minute && x.order < y.order);
  };
  const swap = (a: number, b: number): void => {
    [heap[a], heap[b]] = [heap[b]!, heap[a]!];
  };
  const take = () => {
    const first = heap[0]!;
    const last = heap.pop()!;
    if (heap.length > 0) {
      heap[0] = last;
      for (let i = 0; ; ) {
        const left = 2 * i + 1;
        if (left >= heap.length) break;
        const child = left + 1 < heap.length && before(left + 1, left) ? left + 1 : left;
        if (!before(child, i)) break;
        swap(i, child);
        i = child;
      }
    }
    return first;
  };
  return {
    now: () => now,
    at(minute, run) {
      heap.push({ minute: Math.max(minute, now), order: order++, run });
      for (let i = heap.length - 1; i > 0 && before(i, (i - 1) >> 1); i = (i - 1) >> 1) swap(i, (i - 1) >> 1);
    },
    runUntil(until) {
      while (heap.length > 0 && heap[0]!.minute <= until) {
        const event = take();
        now = event.minute;
        event.run();
      }
      now = until;
    },
  };
}
