const KEPT = 12;

/** Keeps the last few answers by their key, so that what is asked for again is not made again; an answer that failed is not kept. */
export function lastAnswers(): <T>(key: string, make: () => Promise<T>) => Promise<T> {
  const kept = new Map<string, Promise<unknown>>();
  return <T>(key: string, make: () => Promise<T>): Promise<T> => {
    const before = kept.get(key);
    // The key names the question, and with it the kind of the answer.
    if (before) return before as Promise<T>;
    const answer = make();
    kept.set(key, answer);
    answer.catch(() => kept.delete(key));
    for (const oldest of [...kept.keys()].slice(0, -KEPT)) kept.delete(oldest);
    return answer;
  };
}
