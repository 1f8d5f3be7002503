import fc from 'fast-check';
import { HOSTILE_TEXT } from './hostile.ts';
import { type Hostile, type HttpRoute, type Known, partsOf, type Payload, routesOf } from './requests.ts';

/** As it stands in an address: what cannot be written there in UTF-8 is written in bytes that are none. */
const encoded = (text: string): string => {
  try {
    return encodeURIComponent(text);
  } catch {
    return '%ED%A0%80';
  }
};
const RAW_PARTS = ['%00', 'P%00', '..', '%2e%2e', '%2e%2e%2f%2e%2e%2fetc%2fpasswd', '..%5c', '%', '%ff', '%zz', '%c0%af', 'a'.repeat(300), 'a'.repeat(301), 'a'.repeat(8_000), '%F0%9F%8F%95', 'P;a=1', 'P%3Fa=1', 'P%23', '%20', '+', ':plant', '*', '~'];
const RAW_QUERIES = ['?', '?%', '?=', '?&&&', '?a[]=1&a[b]=2', '?mode=all&mode=check', '?period=week&period=days', '?from=2026-06-01&to=2026-06-01&to=2026-06-02', '?__proto__=1', '?__proto__[a]=1&constructor=2', '?language=en&language=es', '?part=AXLE&part=AXLE', '?before=1&before=2',
  '?dealer=%00', '?station=%ED%A0%80', `?model=${'a'.repeat(8_000)}`, `?${Array.from({ length: 1_000 }, (_, i) => `a${i}=1`).join('&')}`, '?shift=%FF', '?date=2026-06-01&date=2026-06-01', '?table=counts&table=causes'];
const hostilePart = fc.oneof(fc.constantFrom(...RAW_PARTS), fc.constantFrom(...HOSTILE_TEXT.filter((text) => text !== '' && text.length < 600)).map(encoded));

function pathOf(pattern: string, known: Record<string, readonly string[]>): fc.Arbitrary<string> {
  const parts = pattern.split('/').map((part): fc.Arbitrary<string> => {
    const [, name, ending] = /^:([a-z]+)(.*)$/.exec(part) ?? [];
    return name === undefined ? fc.constant(part) : fc.oneof({ weight: 9, arbitrary: fc.constantFrom(...(known[name] ?? ['x'])) }, hostilePart).map((value) => value + ending);
  });
  return fc.tuple(...parts).map((of) => of.join('/'));
}

function queryOf(asked: Record<string, readonly string[]>): fc.Arbitrary<string> {
  const good = Object.entries(asked).map(([key, values]) => fc.option(fc.constantFrom(...values).map((value) => `${key}=${encoded(value)}`), { nil: null }));
  const hostile = fc.tuple(fc.constantFrom(...Object.keys(asked), '__proto__', 'a'), fc.constantFrom(...HOSTILE_TEXT.filter((text) => text.length < 600)).map(encoded)).map(([key, value]) => `${key}=${value}`);
  const one = fc.tuple(...good).map((of) => of.filter((part) => part !== null));
  const written = (parts: readonly string[]): string => (parts.length > 0 ? `?${parts.join('&')}` : '');
  return fc.oneof(
    { weight: 5, arbitrary: one.map(written) }, { weight: 4, arbitrary: fc.tuple(one, fc.array(hostile, { minLength: 1, maxLength: 3 })).map(([some, more]) => written([...some, ...more])) }, { weight: 1, arbitrary: fc.constantFrom(...RAW_QUERIES) },
  );
}

/** Headers that few browsers send, or that another site's page would; most requests have none of them. */
const ODD_HEADERS: readonly Record<string, string>[] = [
  { origin: 'http://elsewhere.example' }, { origin: 'null' }, { origin: '' }, { origin: '\u00ff' }, { 'sec-fetch-site': 'cross-site' }, { host: '' }, { host: 'a b' }, { 'x-forwarded-for': '::1, 127.0.0.1' }, { 'x-forwarded-proto': 'https' },
  { cookie: 'stationhand-session=%; stationhand-device=%ff' }, { cookie: '=;;=;a' }, { cookie: `stationhand-session=${'a'.repeat(9_000)}` }, { cookie: '__proto__=1; stationhand-session=__proto__' }, { 'stationhand-device-token': 'none' },
  { 'stationhand-device-token': '__proto__' }, { 'content-length': '0' }, { 'content-length': '-1' }, { 'content-length': '99999999' }, { 'transfer-encoding': 'chunked' }, { 'content-encoding': 'gzip' }, { accept: 'text/xml' }, { 'accept-encoding': '*;q=0' },
  { range: 'bytes=0-1,5-' }, { 'if-none-match': '*' }, { 'if-modified-since': 'never' }, { 'x-http-method-override': 'DELETE' }, { expect: '100-continue' }, { 'accept-language': 'x'.repeat(3_000) }, { upgrade: 'websocket', connection: 'upgrade' },
];

/** Requests to `name`: good ones, nearly good ones, and hostile ones. */
export function requestsTo(name: HttpRoute, known: Known): fc.Arbitrary<Hostile> {
  const [method, pattern] = name.split(' ') as [Hostile['method'], string];
  const { query = {}, body = fc.constant<Payload>({}) } = routesOf(known)[name];
  const headers = fc.oneof({ weight: 7, arbitrary: fc.constant<Record<string, string>>({}) }, { weight: 1, arbitrary: fc.constantFrom(...ODD_HEADERS) });
  return fc.tuple(pathOf(pattern, partsOf(known)), queryOf(query), headers, body).map(([path, asked, odd, { payload, type }]) => ({
    method, url: `${path}${asked}`, headers: { ...(type === undefined ? {} : { 'content-type': type }), ...odd }, ...(payload === undefined ? {} : { payload }),
  }));
}
