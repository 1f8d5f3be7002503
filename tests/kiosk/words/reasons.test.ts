import { afterEach, describe, expect, it } from 'vitest';
import { setLanguage, t } from '../../../kiosk/words/catalogue.ts';
import { HOLD_REASONS, PULL_REASONS, reasonText, statedReason, STOP_REASONS } from '../../../kiosk/words/reasons.ts';
import { HOLD_REASONS as DEMO_HOLDS, STOP_REASONS as DEMO_STOPS } from '../../../seed/trouble.ts';

afterEach(() => setLanguage('en'));

describe('reasons', () => {
  it('are stated alike in every language, and read in the reader\'s own', () => {
    for (const key of [...HOLD_REASONS, ...STOP_REASONS, ...PULL_REASONS]) {
      setLanguage('es');
      const stated = statedReason(key);
      expect(reasonText(stated)).toBe(t(key));
      setLanguage('en');
      expect(statedReason(key)).toBe(stated);
      expect(reasonText(stated)).toBe(stated);
    }
  });

  it('that a person typed stay as typed', () => {
    setLanguage('es');
    expect(reasonText('Falta el tornillo')).toBe('Falta el tornillo');
    expect(reasonText('')).toBe('');
  });

  it('of the demo are the ones that the screens offer', () => {
    setLanguage('es');
    for (const reason of [...DEMO_HOLDS, ...DEMO_STOPS]) expect(reasonText(reason)).not.toBe(reason);
  });
});
