import { setLanguage, language } from '../words/catalogue.ts';
import type { Language } from '../words/word.ts';

const KEY = { language: 'stationhand-language', theme: 'stationhand-theme', who: 'stationhand-who', hand: 'stationhand-hand', sound: 'stationhand-sound', last: 'stationhand-last-screen' };

export type Theme = 'light' | 'dark';
export type Hand = 'left' | 'right';

/** Says language and theme as this device keeps them. */
export function loadPreferences(): void {
  chooseLanguage(localStorage.getItem(KEY.language) === 'es' ? 'es' : 'en');
  chooseTheme(theme());
}

export function chooseLanguage(chosen: Language): void {
  setLanguage(chosen);
  document.documentElement.lang = language();
  localStorage.setItem(KEY.language, chosen);
}

export function theme(): Theme {
  return localStorage.getItem(KEY.theme) === 'dark' ? 'dark' : 'light';
}

export function chooseTheme(chosen: Theme): void {
  document.documentElement.dataset['theme'] = chosen;
  localStorage.setItem(KEY.theme, chosen);
}

/** The badge code this device states facts for, or `''` while nobody gave one. */
export function who(): string {
  return localStorage.getItem(KEY.who) ?? '';
}

export function chooseWho(badge: string): void {
  localStorage.setItem(KEY.who, badge.trim());
}

/** Told at the window when somebody put on a badge at this device. */
export const BADGE_WORN = 'stationhand-badge-worn';

/** Somebody puts on `badge`: facts are stated for it from now on, and the screen speaks its wearer's language. */
export function wearBadge(badge: string): void {
  if (badge.trim() === who()) return;
  chooseWho(badge);
  window.dispatchEvent(new Event(BADGE_WORN));
}

/** The hand that works at this device: the big buttons lie under it. */
export function hand(): Hand {
  return localStorage.getItem(KEY.hand) === 'left' ? 'left' : 'right';
}

export function chooseHand(chosen: Hand): void {
  localStorage.setItem(KEY.hand, chosen);
}

/** Whether this device sounds what it heard. */
export function sounds(): boolean {
  return localStorage.getItem(KEY.sound) !== 'off';
}

export function chooseSounds(on: boolean): void {
  localStorage.setItem(KEY.sound, on ? 'on' : 'off');
}

/** The address this device was at last, for when it is started as an app of its own. */
export function lastScreen(): string | null {
  return localStorage.getItem(KEY.last);
}

export function keepLastScreen(address: string): void {
  localStorage.setItem(KEY.last, address);
}
