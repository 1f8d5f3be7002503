import { readFileSync } from 'node:fs';
import { afterEach, expect, it } from 'vitest';
import { missingText } from '../../../kiosk/screens/quality-panel.ts';
import { setLanguage, t } from '../../../kiosk/words/catalogue.ts';
import type { Missing, MissingKind } from '../../../server/core/gates/release.ts';

afterEach(() => setLanguage('en'));
const KINDS: MissingKind[] = ['fit', 'fix', 'verify', 'record', 'settle', 'check', 'clear', 'vin', 'certify', 'label', 'item'];
const missing = (kind: MissingKind): Missing => ({ kind, what: 'Leak test', station: 'LK10', detail: kind === 'check' || kind === 'certify' ? 'dueAgain' : kind === 'label' ? 'notSigned' : '' });

it.each(KINDS)('says in both languages what to do about what is missing: %s', (kind) => {
  const said = (['en', 'es'] as const).map((language) => {
    setLanguage(language);
    return missingText(missing(kind));
  });
  for (const text of said) {
    expect(text).toContain('LK10');
    expect(text).not.toMatch(/[{}]/);
  }
  expect(said[0]).not.toBe(said[1]);
});

it('says how a check stands', () => {
  expect(missingText(missing('check'))).toBe('Make the check: Leak test – LK10 (due again)');
  expect(missingText({ ...missing('clear'), station: null })).toBe('Clear the hold: Leak test');
});

it('has words for everything that a gate may find', () => {
  const source = readFileSync(new URL('../../../server/core/gates/release.ts', import.meta.url), 'utf8');
  for (const kind of KINDS) expect(source).toContain(`'${kind}'`);
  expect(t('quality.nothingMissing')).not.toBe('');
});
