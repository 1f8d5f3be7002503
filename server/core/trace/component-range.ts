/** Component numbers as people count them: runs of digits by their value, everything else by its capitals. Negative: `a` comes first. */
export function compareNumbers(a: string, b: string): number {
  const [left, right] = [partsOf(a), partsOf(b)];
  for (let i = 0; i < Math.max(left.length, right.length); i++) {
    const [x, y] = [left[i], right[i]];
    if (x === undefined || y === undefined) return x === undefined ? -1 : 1;
    const order = compareParts(x, y);
    if (order !== 0) return order;
  }
  return 0;
}

/** Whether `number` lies from `from` to `to`, both included; null where there is no such end. */
export function inRange(number: string, from: string | null, to: string | null): boolean {
  return (from === null || compareNumbers(number, from) >= 0) && (to === null || compareNumbers(number, to) <= 0);
}

function partsOf(number: string): string[] {
  return number.trim().toUpperCase().match(/\d+|\D+/g) ?? [];
}

function compareParts(x: string, y: string): number {
  const digits = /^\d/.test(x) && /^\d/.test(y);
  const [a, b] = digits ? [x.replace(/^0+(?=\d)/, ''), y.replace(/^0+(?=\d)/, '')] : [x, y];
  if (digits && a.length !== b.length) return a.length - b.length;
  return a < b ? -1 : a > b ? 1 : 0;
}
