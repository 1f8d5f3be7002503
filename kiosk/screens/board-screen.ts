import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { ClockController } from '../controllers/clock.ts';
import { LineDelayController } from '../controllers/line-delay.ts';
import { MediaController } from '../controllers/media.ts';
import { PlantController } from '../controllers/plant.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { unitPath, type ScreenParams } from '../data/route.ts';
import '../elements/board-headline.ts';
import '../elements/line-path.ts';
import { stateTag } from '../styles/states.ts';
import { base } from '../styles/tokens.ts';
import { t, wordKey } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';
import { boardDelay } from './board-delay.ts';
import { needsOf, type Need } from './board-facts.ts';
import { paceHeadline, troubleHeadline } from './board-headline.ts';
import { pacedLine, paceOf, planMarkOf } from './board-pace.ts';
import { stretchesOf } from './board-stretches.ts';

const TV = '(min-width: 1800px) and (min-height: 900px)';

/** The whole plant as the building lies: its lines as a path with the plan's mark, repair bays and yard, and who needs somebody. */
@customElement('sh-board-screen')
export class BoardScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; }
    .screen { display: grid; grid-template-columns: minmax(0, 1fr) minmax(240px, 24%); gap: 12px 16px; }
    sh-board-headline { grid-column: 1 / -1; }
    h2 { margin: 0 0 6px; font-size: 1.2em; }
    ol { list-style: none; margin: 0; padding: 0; }
    li { padding: 8px 0; border-top: 1px solid var(--rule); overflow-wrap: anywhere; }
    @media (max-width: 900px) { .screen { grid-template-columns: minmax(0, 1fr); } aside { grid-row: 2; } }
    @media (min-width: 1800px) and (min-height: 900px) {
      :host { position: absolute; inset: 0; font-size: 26px; padding: 8px 12px; overflow: auto; }
      .screen { display: flex; flex-direction: column; height: 100%; gap: 6px; }
      sh-line-path { flex: 1; min-height: 0; }
      aside h2 { display: none; }
      /* What does not fit wraps out of sight as a whole: nothing is cut in the middle. */
      ol { display: flex; flex-wrap: wrap; gap: 0 28px; height: 1.8em; overflow: hidden; }
      li { border: 0; padding: 0; line-height: 1.3; height: 1.8em; white-space: nowrap; display: flex; gap: 0.35em; align-items: center; }
      li br { display: none; }
    }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  private readonly clock = new ClockController(this, 5_000);
  private readonly tv = new MediaController(this, TV);
  private readonly plant = new PlantController(this, () => this.store);
  private readonly delay = new LineDelayController(this, () => this.store, () => (this.store?.view ? (pacedLine(this.store.view)?.code ?? null) : null));

  override render(): TemplateResult {
    const view = this.store?.view;
    if (!view) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    const now = this.clock.now;
    const line = pacedLine(view);
    const pace = line && paceOf(view, line, now);
    const told = pace && paceHeadline(pace);
    const longest = Math.max(1, ...view.plant.models.map((model) => model.length));
    return html`<div class="screen">
      <sh-board-headline .pace=${told?.pace ?? null} .detail=${told?.detail ?? ''} .parts=${troubleHeadline(view, now)}>${boardDelay(this.delay.told)}</sh-board-headline>
      ${view.plant.lines.length === 0 ? html`<p>${t('board.noLines')}</p>` : nothing}
      ${this.tv.matches ? this.needs(needsOf(view, now)) : nothing}
      <sh-line-path .stretches=${stretchesOf(view, now)} .mark=${line && pace && planMarkOf(view, line, pace)} .longest=${longest} ?fit=${this.tv.matches}></sh-line-path>
      ${this.tv.matches ? nothing : this.needs(needsOf(view, now))}</div>`;
  }

  private needs(needs: Need[]): TemplateResult {
    return html`<aside aria-label=${t('board.somebody')}><h2>${t('board.somebody')}</h2>${needs.length === 0 ? html`<p>${t('board.nothing')}</p>` : html`<ol>
      ${needs.map((need) => html`<li>${stateTag(need.state)} ${need.unit === null || !this.store ? nothing
        : html`<a href=${unitPath(this.store.plant, need.unit)}>${need.unit}</a>`} ${need.where}<br> ${detailOf(need)}</li>`)}</ol>`}</aside>`;
  }
}

function detailOf(need: Need): string {
  if (need.kind === 'over') return t('board.over', { n: need.detail });
  if (need.kind === 'crew') return t('board.headsMissing', { n: need.detail });
  if (need.kind === 'unknown') return t('board.unknown');
  const key = need.kind === 'flag' ? wordKey(`flag.${need.detail}`) : null;
  return key ? t(key) : reasonText(need.detail);
}
