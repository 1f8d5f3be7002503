import type { SaidPressure, SaidVolume, SaidWeight } from '../setup/labels.ts';

/** Exact by definition (NIST SP 811, appendix B): the pound, the pound-force per square inch, the US gallon. */
export const KG_PER_LB = 0.453_592_37;
export const KPA_PER_PSI = (KG_PER_LB * 9.806_65) / (0.0254 * 0.0254) / 1_000;
export const L_PER_GAL = 3.785_411_784;
/** Water on cargo labels: 1 kg/L, 8.3 lb/gal (72 FR 68442). */
const WATER_LB_PER_GAL = 8.3;

/** A sum of decimals that is whole may miss it by less. */
const HAIR = 1e-6;

/** What is stated in one unit, the other by `factor` of the first in the second; where both are stated the first one is meant. */
function both(first: number | undefined, second: number | undefined, factor: number): [number, number] {
  if (first !== undefined) return [first, second ?? first * factor];
  return [(second ?? 0) / factor, second ?? 0];
}

/** Kilograms, exact. Where both units are stated the pounds are meant. */
export function kilograms({ lb, kg }: SaidWeight): number {
  return lb !== undefined ? lb * KG_PER_LB : (kg ?? 0);
}

/** A rating as labels have it: what is stated stands, what is converted is rounded to the nearest whole. */
export function ratingText(said: SaidWeight): string {
  const [lb, kg] = both(said.lb, said.kg, KG_PER_LB);
  return `${said.kg ?? Math.round(kg)} kg (${said.lb ?? Math.round(lb)} lb)`;
}

/** A cold pressure: what is stated stands, what is converted is rounded to the nearest whole. */
export function pressureText(said: SaidPressure): string {
  const [psi, kPa] = both(said.psi, said.kPa, KPA_PER_PSI);
  return `${said.kPa ?? Math.round(kPa)} kPa (${said.psi ?? Math.round(psi)} psi)`;
}

/** A volume; litres of gallons and gallons of litres to the nearest whole. */
export function volumeText(said: SaidVolume): string {
  const [gal, l] = both(said.gal, said.l, L_PER_GAL);
  return `${said.l ?? Math.round(l)} L (${said.gal ?? Math.round(gal)} gal)`;
}

/** What a full tank of water weighs by the label's own densities, each to the nearest whole. */
export function waterWeight(said: SaidVolume): { kg: number; lb: number } {
  const [gal, l] = both(said.gal, said.l, L_PER_GAL);
  return { kg: Math.round(l), lb: Math.round(gal * WATER_LB_PER_GAL) };
}

/** A limit in whole kilograms and whole pounds, each rounded down: a label never allows more than there is. */
export function limitOf(kg: number): { kg: number; lb: number } {
  return { kg: Math.floor(kg + HAIR), lb: Math.floor(kg / KG_PER_LB + HAIR) };
}

export const weightText = ({ kg, lb }: { kg: number; lb: number }): string => `${kg} kg (${lb} lb)`;

/** Whether two stated units say the same, within `share`: sidewalls round both sides. True where only one is stated. */
export function agree(first: number | undefined, second: number | undefined, factor: number, share: number): boolean {
  if (first === undefined || second === undefined) return true;
  return Math.abs(first * factor - second) <= share * second;
}
