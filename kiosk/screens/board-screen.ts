import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Snapshot } from '../../server/contract/snapshot.ts';
import type { Station } from '../../server/core/setup/plant.ts';
import { ClockController } from '../controllers/clock.ts';
import { PlantController } from '../controllers/plant.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitPath, type ScreenParams } from '../data/route.ts';
import type { DrawnPlace } from '../elements/line-path.ts';
import '../elements/line-path.ts';
import { stateTag, type StateName } from '../styles/states.ts';
import { base } from '../styles/tokens.ts';
import { t, wordKey } from '../words/catalogue.ts';
import { areaOf, needsOf, progressOf, releasesOf, standardOf, stateOf, type Need } from './board-facts.ts';

/** The whole plant as the building lies: each line as a path, repair bays and yard, and who needs somebody. */
@customElement('sh-board-screen')
export class BoardScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; }
    .screen { display: grid; grid-template-columns: minmax(0, 1fr) minmax(240px, 22%); gap: 16px; }
    h2 { margin: 0 0 6px; font-size: 1.2em; }
    section { margin-bottom: 16px; }
    ol { list-style: none; margin: 0; padding: 0; }
    li { padding: 8px 0; border-top: 1px solid var(--rule); overflow-wrap: anywhere; }
    @media (max-width: 900px) { .screen { grid-template-columns: minmax(0, 1fr); } }
    @media (min-width: 1800px) { :host { font-size: 22px; } }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  private readonly clock = new ClockController(this, 5_000);
  private readonly plant = new PlantController(this, () => this.store);

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const releases = releasesOf(view, this.clock.now);
    return html`<div class="screen"><div>
      <p class="figures">${t('board.plan', releases)}</p>
      ${view.plant.lines.length === 0 ? html`<p>${t('board.noLines')}</p>` : nothing}
      ${view.plant.lines.map((line) => this.path(view, t('board.line', { line: line.name }), line.stations))}
      ${view.plant.places.length > 0 ? this.path(view, t('app.places'), view.plant.places) : nothing}
    </div><aside aria-label=${t('board.somebody')}>${this.needs(needsOf(view, this.clock.now))}</aside></div>`;
  }

  private path(view: Snapshot, title: string, stations: Station[]): TemplateResult {
    const longest = Math.max(1, ...view.plant.models.map((model) => model.length));
    return html`<section><h2>${title}</h2>
      <sh-line-path .places=${stations.map((station) => this.place(view, station))} .longest=${longest}></sh-line-path></section>`;
  }

  private place(view: Snapshot, station: Station): DrawnPlace {
    const units = view.units.filter((row) => row.state.place?.station === station.code).map((row) => {
      const progress = progressOf(view, row, this.clock.now);
      const model = view.plant.models.find((candidate) => candidate.code === row.state.model);
      return {
        unit: row.state.unit, href: unitPath(view.plant.code, row.state.unit), length: model?.length ?? 0.5,
        work: progress?.work ?? null, standard: progress?.standard ?? 0, state: stateOf(view, row, this.clock.now),
      };
    });
    const stopped = view.stops.some((stop) => stop.station === station.code);
    const free = view.stations.find((row) => row.station === station.code)?.freeState ?? null;
    const state: StateName | null = stopped ? 'stopped' : free;
    const lanes = Math.max(1, units.length + (stopped && units.length > 0 ? 1 : 0));
    return { code: station.code, area: areaOf(view, station), minutes: standardOf(view, station.code), lanes, state, units };
  }

  private needs(needs: Need[]): TemplateResult {
    return html`<h2>${t('board.somebody')}</h2>${needs.length === 0 ? html`<p>${t('board.nothing')}</p>` : html`<ol>
      ${needs.map((need) => html`<li>${stateTag(need.state)} ${need.unit === null || !this.store ? nothing
        : html`<a href=${unitPath(this.store.plant, need.unit)}>${need.unit}</a>`} ${need.where}<br>${detailOf(need)}</li>`)}</ol>`}`;
  }
}

function detailOf(need: Need): string {
  if (need.kind === 'over') return t('board.over', { n: need.detail });
  if (need.kind === 'unknown') return t('board.unknown');
  const key = need.kind === 'flag' ? wordKey(`flag.${need.detail}`) : null;
  return key ? t(key) : need.detail;
}
