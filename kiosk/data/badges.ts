import type { BadgeWorn } from '../../server/contract/access.ts';
import { askJson } from './api.ts';

const KEY = 'stationhand-badges';

/** The badges worn in a plant, as last heard: a scan tells a badge from a unit with or without a server. */
export class Badges {
  private readonly worn = new Map<string, BadgeWorn>();

  constructor(private readonly plant: string) {
    this.keep(JSON.parse(localStorage.getItem(`${KEY} ${plant}`) ?? '[]') as BadgeWorn[]);
  }

  /** The name of who wears `code`, null when it is no badge. */
  nameOf(code: string): string | null {
    return this.worn.get(code)?.name ?? null;
  }

  /** The language of who wears `code`; null for an unknown badge. */
  languageOf(code: string): 'en' | 'es' | null {
    return this.worn.get(code)?.language ?? null;
  }

  async refresh(): Promise<void> {
    try {
      const worn = await askJson<BadgeWorn[]>(`/api/plants/${encodeURIComponent(this.plant)}/badges`);
      localStorage.setItem(`${KEY} ${this.plant}`, JSON.stringify(worn));
      this.keep(worn);
    } catch {
      // Those heard last are still known.
    }
  }

  private keep(worn: readonly BadgeWorn[]): void {
    this.worn.clear();
    for (const badge of worn) this.worn.set(badge.code, badge);
  }
}
