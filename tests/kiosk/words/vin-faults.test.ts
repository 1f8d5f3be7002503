import { readFileSync } from 'node:fs';
import { afterEach, expect, it } from 'vitest';
import { vinFaults } from '../../../server/core/gates/vin.ts';
import { faultText } from '../../../kiosk/words/vin-faults.ts';
import { setLanguage } from '../../../kiosk/words/catalogue.ts';

const { wrong } = JSON.parse(readFileSync(new URL('../../published/vin.json', import.meta.url), 'utf8')) as { wrong: { vin: string; why: string }[] };
afterEach(() => setLanguage('en'));

it.each(wrong)('says in both languages what is wrong with $vin ($why), nothing left to fill in', ({ vin }) => {
  for (const language of ['en', 'es'] as const) {
    setLanguage(language);
    const said = vinFaults(vin).map(faultText);
    expect(said.length).toBeGreaterThan(0);
    for (const text of said) expect(text).not.toMatch(/[{}]/);
  }
});

it('names the character, and what it may have been', () => {
  expect(vinFaults('1M8GDM9AXKPO42788').map(faultText)).toEqual(['Character 12 is O, which no VIN has: look again, is it 0?']);
  expect(vinFaults('1M8GDM9A0KP042788').map(faultText)[0]).toContain('is 0, but the others give X');
});
