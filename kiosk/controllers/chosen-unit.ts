import { html, nothing, type ReactiveControllerHost, type TemplateResult } from 'lit';
import type { Snapshot, UnitRow } from '../../server/contract/snapshot.ts';
import type { Station } from '../../server/core/setup/plant.ts';
import { findStation } from '../../server/core/setup/setup-at.ts';
import { knownCodes } from '../data/known-codes.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { wearBadge } from '../data/preferences.ts';
import { readCode } from '../data/read-code.ts';
import type { ScreenName, ScreenParams } from '../data/route.ts';
import { qualityPath } from '../data/route.ts';
import { t } from '../words/catalogue.ts';
import { codeWord } from '../words/code-word.ts';
import { ScannerController } from './scanner.ts';
import type { StatingController } from './stating.ts';

const SHOWN = 12;

interface Of {
  store: PlantStore | null;
  params: ScreenParams | null;
}

/** The unit and the station that a screen is about: as its address says, or scanned, typed or touched since. A code that is neither unit nor badge goes to `other`. */
export class ChosenUnit {
  private unit: string | null = null;
  private typed = '';

  constructor(
    private readonly host: ReactiveControllerHost & Of, private readonly screen: Exclude<ScreenName, 'unit'>, private readonly stating: StatingController,
    private readonly other: ((code: string) => void) | null = null,
  ) {
    new ScannerController(host, (code) => this.scanned(code));
  }

  private get view(): Snapshot | null {
    return this.host.store?.view ?? null;
  }

  /** Null while none is chosen, and for one that is not in the plant. */
  get row(): UnitRow | null {
    const unit = this.serial;
    return this.view?.units.find(({ state }) => state.unit === unit) ?? null;
  }

  get serial(): string {
    return this.unit ?? this.host.params?.query['unit'] ?? '';
  }

  /** The station the device stands at: as the address says, else where the unit stands. */
  get station(): Station | null {
    const code = this.host.params?.query['at'] ?? this.row?.state.place?.station ?? '';
    return this.view ? (findStation(this.view.plant, code)?.station ?? null) : null;
  }

  choose(unit: string): void {
    this.unit = unit;
    this.stating.say(null);
    history.replaceState(null, '', qualityPath(this.host.store?.plant ?? '', this.screen, { unit, at: this.host.params?.query['at'] ?? '' }));
    this.host.requestUpdate();
  }

  scanned(scanned: string): void {
    const { view } = this;
    if (!view) return;
    const read = readCode(scanned, view.plant.codes, knownCodes(view));
    if (read.kind === 'badge') wearBadge(read.code);
    if (read.kind === 'unit' && view.units.some(({ state }) => state.unit === read.code)) return this.choose(read.code);
    if (this.other && (read.kind === 'component' || read.kind === 'unit' || read.kind === 'unknown')) return this.other(read.code);
    if (read.kind === 'unit') return this.stating.say({ kind: 'wrong', words: t('quality.notInPlant', { unit: read.code }) });
    this.stating.say(codeWord(read));
  }

  /** Ways to another unit: by its serial, or of `first` by a touch. */
  chooser(first: readonly UnitRow[]): TemplateResult {
    const submit = (event: SubmitEvent): void => {
      event.preventDefault();
      const code = this.typed.trim();
      if (code !== '') this.scanned(code);
    };
    const found = this.typed.trim() === '' ? [] : (this.view?.units ?? []).filter(({ state }) => state.unit.toLowerCase().includes(this.typed.trim().toLowerCase())).slice(0, SHOWN);
    const typing = (event: Event): void => {
      this.typed = (event.target as HTMLInputElement).value;
      this.host.requestUpdate();
    };
    const shown = found.length > 0 ? found : first;
    return html`<form class="form" @submit=${submit}><label>${t('station.scanOrType')}<input name="serial" maxlength="100" autocomplete="off" .value=${this.typed} @input=${typing} /></label></form>
      ${shown.length === 0 ? nothing : html`<div class="grid">${shown.map(({ state }) => html`<button aria-pressed=${state.unit === this.serial} @click=${() => this.choose(state.unit)}>${state.unit}<br /><small>${state.place?.station ?? ''}</small></button>`)}</div>`}`;
  }
}
