/** One saying in each language of the screens. `{name}` is filled in. */
export interface Word {
  en: string;
  es: string;
}

export type Language = keyof Word;
