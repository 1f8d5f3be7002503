import { vinFaults, vinIn } from '../../server/core/gates/vin.ts';
import { VIN_LENGTH } from '../../server/core/gates/vin-signs.ts';
import type { ScanCodes } from '../../server/core/setup/plant.ts';

/** What a scanned code is. `misread` and `unknown` codes are not acted on before a person says so. */
export type ReadCode =
  | { kind: 'unit'; code: string }
  | { kind: 'badge' | 'component'; code: string }
  | { kind: 'misread'; code: string; why: 'checkDigit' | 'sign' }
  | { kind: 'unknown'; code: string };

/** What is known of the plant's units: the serial that a serial or VIN in capitals names, or null. */
export interface KnownCodes {
  serial(code: string): string | null;
  vin(vin: string): string | null;
}

/**
 * What the codes of a plant look like while it has not said so: badges and components say in front what they are, everything else is a unit.
 * Common practice, no source.
 */
export const DEFAULT_CODES: ScanCodes = { badge: ['BADGE-', 'BADGE:', '/^badge\\d+$/'], component: ['COMP-', 'COMP:'], unit: [] };

/** ISO/IEC 15424: some scanners put the sort of symbol in front, `]C1` for one of Code 128 (from memory). */
const SYMBOL_PREFIX = /^\][A-Za-z][0-9A-Za-z]/;
/** ISO/IEC 15434: several fields in one Data Matrix or QR symbol, each with its data identifier (from memory). */
const ENVELOPE = /^\[\)>\u001e?06\u001d?/;
const FIELD_ENDS = /[\u001d\u001e\u0004]/;

/**
 * Reads what a scanner or camera gave: leading identifiers off, then whose code it is. The data identifiers of ANSI MH10.8.2 that are
 * taken off are I before a VIN, and S before a serial that the plant has (18S to 25S and others are the plant's to name in `codes`; from memory).
 */
export function readCode(scanned: string, codes: ScanCodes | undefined, known: KnownCodes): ReadCode {
  const plain = scanned.trim().replace(SYMBOL_PREFIX, '');
  if (!ENVELOPE.test(plain)) return readField(plain, codes, known);
  const fields = plain.replace(ENVELOPE, '').split(FIELD_ENDS).filter((field) => field !== '').map((field) => readField(field, codes, known));
  const telling = fields.find(({ kind }) => kind !== 'unknown' && kind !== 'unit') ?? fields.find((read) => read.kind === 'unit' && known.serial(read.code) !== null);
  return telling ?? fields[0] ?? { kind: 'unknown', code: plain };
}

function readField(field: string, codes: ScanCodes | undefined, known: KnownCodes): ReadCode {
  const capitals = field.toUpperCase();
  const serial = known.serial(capitals) ?? (capitals.startsWith('S') ? known.serial(capitals.slice(1)) : null);
  if (serial !== null) return { kind: 'unit', code: serial };
  const said = matched(field, { ...DEFAULT_CODES, ...codes });
  if (said) return said;
  const vin = vinIn(field);
  if (vin.length === VIN_LENGTH && /^[A-Z0-9]+$/.test(vin)) {
    const faults = vinFaults(vin);
    if (faults.length === 0) return { kind: 'unit', code: known.vin(vin) ?? vin };
    return { kind: 'misread', code: vin, why: faults.every(({ kind }) => kind === 'checkDigit') ? 'checkDigit' : 'sign' };
  }
  // Where the plant says what a serial looks like, what looks otherwise is asked about; else it is a unit, and an unknown one is flagged.
  return codes?.unit && codes.unit.length > 0 ? { kind: 'unknown', code: field } : { kind: 'unit', code: field };
}

function matched(field: string, codes: ScanCodes): ReadCode | null {
  for (const kind of ['badge', 'component', 'unit'] as const) {
    for (const pattern of codes[kind] ?? []) {
      const code = codeBy(field, pattern);
      if (code !== null) return { kind, code };
    }
  }
  return null;
}

/** The code in `field` by `pattern` (`ScanCodes`), or null. */
function codeBy(field: string, pattern: string): string | null {
  if (!pattern.startsWith('/') || !pattern.endsWith('/')) return field.toUpperCase().startsWith(pattern.toUpperCase()) ? field : null;
  const found = new RegExp(pattern.slice(1, -1), 'i').exec(field);
  if (!found || found[0] !== field) return null;
  return found.groups?.['code'] ?? field;
}
