import { setLanguage, language } from '../words/catalogue.ts';
import type { Language } from '../words/word.ts';

const KEY = { language: 'stationhand-language', theme: 'stationhand-theme', who: 'stationhand-who' };

export type Theme = 'light' | 'dark';

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
