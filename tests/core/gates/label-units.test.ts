import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  agree, KG_PER_LB, kilograms, KPA_PER_PSI, L_PER_GAL, limitOf, pressureText, ratingText, volumeText, waterWeight, weightText,
} from '../../../server/core/gates/label-units.ts';

describe('the units of labels', () => {
  // NIST SP 811 (2008), appendix B.8: pound 4.535 924 E-01 kg, psi 6.894 757 E+00 kPa, gallon (U.S.) 3.785 412 E+00 L; exact where bold.
  it('are those of NIST SP 811', () => {
    expect(KG_PER_LB).toBe(0.45359237);
    expect(KPA_PER_PSI).toBeCloseTo(6.894757, 6);
    expect(L_PER_GAL).toBeCloseTo(231 * 2.54 ** 3 / 1_000, 9);
  });

  // 10,000 lb is 4,536 kg in 49 CFR 571 itself (from memory); 65 psi is 448.2 kPa.
  it.each([[{ lb: 10_000 }, '4536 kg (10000 lb)'], [{ kg: 4_536 }, '4536 kg (10000 lb)'], [{ lb: 2_540, kg: 1_150 }, '1150 kg (2540 lb)'], [{ lb: 3_500 }, '1588 kg (3500 lb)']])('have a weight of %j as %s', (said, text) => {
    expect(ratingText(said)).toBe(text);
  });

  it.each([[{ psi: 65 }, '448 kPa (65 psi)'], [{ kPa: 450 }, '450 kPa (65 psi)'], [{ psi: 65, kPa: 450 }, '450 kPa (65 psi)']])('have a pressure of %j as %s', (said, text) => {
    expect(pressureText(said)).toBe(text);
  });

  // 72 FR 68442: 1 kg/L (8.3 lb/gal); 40 gal of water are 332 lb (derived in check values 7.12).
  it('weigh water by the densities of the cargo label', () => {
    expect(waterWeight({ gal: 40 })).toEqual({ kg: 151, lb: 332 });
    expect(waterWeight({ l: 150 })).toEqual({ kg: 150, lb: 329 });
    expect(volumeText({ gal: 40 })).toBe('151 L (40 gal)');
    expect(volumeText({ l: 150 })).toBe('150 L (40 gal)');
  });

  it('say a weight in pounds when both are stated', () => {
    expect(kilograms({ lb: 100, kg: 45 })).toBe(100 * KG_PER_LB);
    expect(kilograms({ kg: 45 })).toBe(45);
    expect(kilograms({})).toBe(0);
  });

  it('round a limit down in both units and never allow more, whatever it is', () => {
    fc.assert(fc.property(fc.double({ min: -5_000, max: 20_000, noNaN: true }), (kg) => {
      const limit = limitOf(kg);
      expect(limit.kg).toBeLessThanOrEqual(kg + 1e-6);
      expect(limit.lb * KG_PER_LB).toBeLessThanOrEqual(kg + 1e-6);
      expect(kg - limit.kg).toBeLessThan(1);
      expect(kg / KG_PER_LB - limit.lb).toBeLessThan(1);
    }));
  });

  it('give a whole number of pounds back as it was', () => {
    fc.assert(fc.property(fc.nat(30_000), fc.nat(30_000), fc.nat(500), (gvwr, weight, gas) => {
      expect(limitOf(kilograms({ lb: gvwr }) - kilograms({ lb: weight }) - kilograms({ lb: gas })).lb).toBe(gvwr - weight - gas);
      expect(ratingText({ lb: gvwr })).toContain(`(${gvwr} lb)`);
    }));
  });

  it('come within half of the other unit when converted to the nearest', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 30_000 }), (lb) => {
      const kg = Number(/^(\d+) kg/.exec(ratingText({ lb }))![1]);
      expect(Math.abs(kg - lb * KG_PER_LB)).toBeLessThanOrEqual(0.5);
      const kPa = Number(/^(\d+) kPa/.exec(pressureText({ psi: lb }))![1]);
      expect(Math.abs(kPa - lb * KPA_PER_PSI)).toBeLessThanOrEqual(0.5);
    }));
  });

  it('agree when two stated values are as near as sidewalls round them', () => {
    expect(agree(2_830, 1_285, KG_PER_LB, 0.005)).toBe(true);
    expect(agree(65, 450, KPA_PER_PSI, 0.02)).toBe(true);
    expect(agree(65, 550, KPA_PER_PSI, 0.02)).toBe(false);
    expect(agree(undefined, 550, KPA_PER_PSI, 0.02)).toBe(true);
  });

  it('are written kilograms first', () => expect(weightText({ kg: 934, lb: 2_060 })).toBe('934 kg (2060 lb)'));
});
