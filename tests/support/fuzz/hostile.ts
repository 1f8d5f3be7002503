import fc from 'fast-check';

/** Text that programs stumble over: control characters, halves of surrogate pairs, marks of direction, names of prototypes, SQL, HTML, formulas, paths, and a great deal of it. */
export const HOSTILE_TEXT: readonly string[] = [
  '', ' ', '\u0000', 'A\u0000B', '\u0007\u001b[31m', '\r\nset-cookie: a=b', '\ud800', 'x\udfff', '\u202edcba\u202c', '\ufeff', '\u200b', 'e\u0301', '\u{1f3d5}\ufe0f', 'İ', 'ß',
  '__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty', "' or '1'='1", "'; drop table facts; --", '$1', '%s%n', '\\', '"', '`', '<script>alert(1)</script>', '<img src=x onerror=alert(1)>',
  '=1+1', '+cmd|\'/c calc\'!A0', '@SUM(A1)', '-2+3', '\t=1', '../../etc/passwd', '..', '.', '/', 'C:\\', 'null', 'undefined', 'true', 'NaN', 'Infinity', '-Infinity', '1e400', '-1', '0x10', '9'.repeat(30), '1,2',
  '2026-02-30', '0000-00-00', '9999-12-31', '10000-01-01', '2026-11-26T25:00:00Z', '1969-12-31T23:59:60Z', '00000000-0000-0000-0000-000000000000', '${1}', '{{1}}', 'a'.repeat(101), 'a'.repeat(501), 'a'.repeat(10_000), '\u{1f3d5}'.repeat(100),
];

export const hostileText: fc.Arbitrary<string> = fc.oneof({ weight: 3, arbitrary: fc.constantFrom(...HOSTILE_TEXT) }, fc.string({ unit: 'binary', maxLength: 40 }), fc.string({ unit: 'grapheme', maxLength: 40 }));

const NUMBERS = [0, -0, -1, 0.1, 1e-300, 5e-324, 1e21, 1e308, -1e308, 2 ** 31, -(2 ** 31) - 1, 2 ** 53 - 1, 2 ** 53, -(2 ** 63), 4_294_967_296] as const;
const nested = (depth: number, of: (inner: unknown) => unknown): unknown => Array.from({ length: depth }).reduce<unknown>((inner) => of(inner), 1);
/** As JSON gives it: an own entry of that name, not the prototype. */
const named = (name: string): unknown => JSON.parse(`{${JSON.stringify(name)}:{"polluted":true,"length":1}}`);

/** Any value of JSON where another was expected. */
export const hostileValue: fc.Arbitrary<unknown> = fc.oneof(
  { weight: 4, arbitrary: hostileText }, { weight: 3, arbitrary: fc.constantFrom<unknown>(...NUMBERS) },
  fc.constantFrom<unknown>(null, true, false, [], {}, [[]], [null], [{}], nested(500, (inner) => [inner]), nested(500, (inner) => ({ a: inner })), Array.from({ length: 1_001 }, () => 0), named('__proto__'), named('constructor'), named('toString')),
  fc.jsonValue({ maxDepth: 3 }),
);

/** What is not JSON, or JSON that few send: cut off, twice the same name, numbers beyond all, very deep. */
export const BROKEN_JSON: readonly string[] = [
  '', '{', '[1,', 'nul', 'NaN', '{"a":1e400}', '{"a":-1e999,"a":2}', "{'a':1}", '{"a":1}{"b":2}', '\ufeff{}', '"\\ud800"', '{"__proto__":{"a":1}}', '{"constructor":{"prototype":{"a":1}}}', '\u0000', '<a/>',
  `${'['.repeat(20_000)}${']'.repeat(20_000)}`, `${'{"a":'.repeat(5_000)}1${'}'.repeat(5_000)}`, `"${'a'.repeat(100_000)}"`, '[]', '{}', 'null', '0', '""', 'a=1&b=2', '--x\r\ncontent-disposition: form-data; name="a"\r\n\r\n1\r\n--x',
];

type Spoiling = 'replace' | 'remove' | 'add' | 'wrap' | 'repeat';

/** One thing about `value` changed: an entry taken away, put in, wrapped in a list, repeated, or something else in its place. */
export function spoiled(value: fc.Arbitrary<unknown>): fc.Arbitrary<unknown> {
  const how = fc.constantFrom<Spoiling>('replace', 'replace', 'replace', 'remove', 'add', 'wrap', 'repeat');
  return fc.tuple(value, fc.nat(10_000), hostileValue, how, hostileText).map(([whole, at, other, by, name]) => {
    const copy: unknown = structuredClone(whole);
    const places = placesIn(copy);
    const place = places[at % Math.max(1, places.length)];
    if (!place) return other;
    const [holder, key] = place;
    const there = holder[key];
    if (by === 'replace') holder[key] = other;
    if (by === 'remove') delete holder[key];
    if (by === 'add') Object.defineProperty(holder, name, { value: other, enumerable: true, configurable: true, writable: true });
    if (by === 'wrap') holder[key] = [there];
    if (by === 'repeat') holder[key] = Array.from({ length: 60 }, () => there);
    return copy;
  });
}

type Holder = Record<string, unknown>;

function placesIn(value: unknown): [Holder, string][] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.keys(value).flatMap((key): [Holder, string][] => [[value as Holder, key], ...placesIn((value as Holder)[key])]);
}
