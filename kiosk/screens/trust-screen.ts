import { css, html, LitElement, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { TrustReply } from '../../server/contract/trust.ts';
import type { ForecastScores } from '../../server/core/forecast/scored-forecasts.ts';
import { PlantController } from '../controllers/plant.ts';
import { askJson } from '../data/api.ts';
import type { PlantStore } from '../data/plant-store.ts';
import type { ScreenParams } from '../data/route.ts';
import { base } from '../styles/tokens.ts';
import { t, type WordKey } from '../words/catalogue.ts';

const HEADS: WordKey[] = ['trust.ahead', 'trust.units', 'trust.forecasts', 'trust.coverage', 'trust.tooEarly', 'trust.tooLate', 'trust.pinball', 'trust.crps', 'trust.skillPace', 'trust.skillMedians'];
const MOST_DAYS = 8;
/** Fewer units say nothing yet: of twenty, the share within an 80 % span still has a standard error of nine points. */
const LEAST_UNITS = 20;
const WANTED = { least: 0.75, most: 0.85 };
const RETRY_MS = 5_000;

/** How good the forecasts were (definitions §6), by working days ahead, each figure with how many units are behind it. */
@customElement('sh-trust-screen')
export class TrustScreen extends LitElement {
  static override styles = [base, css`
    :host { display: block; padding: 12px; max-width: 1400px; }
    h2 { margin: 16px 0 8px; font-size: 1.2em; }
    .table { overflow-x: auto; } table { border-collapse: collapse; width: 100%; }
    th, td { text-align: end; padding: 6px 14px 6px 0; border-bottom: 1px solid var(--rule); vertical-align: bottom; font-variant-numeric: tabular-nums; }
    th:first-child { text-align: start; } thead th { min-width: 5.5em; font-weight: 700; }
    h2 + p { font-size: 1.15em; font-weight: 700; max-width: 60em; margin: 8px 0; } .whole { white-space: nowrap; }
    .soft { color: var(--ink-soft); max-width: 60em; }
  `];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private told: TrustReply | null = null;
  private asked = false;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly plant = new PlantController(this, () => this.store);

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearTimeout(this.timer);
  }

  override willUpdate(): void {
    if (this.asked || !this.store) return;
    this.asked = true;
    void this.fetch(this.store.plant);
  }

  private async fetch(plant: string): Promise<void> {
    try {
      this.told = await askJson<TrustReply>(`/api/plants/${encodeURIComponent(plant)}/trust`, { timeout: 60_000 });
    } catch {
      this.timer = setTimeout(() => void this.fetch(plant), RETRY_MS);
    }
  }

  override render(): TemplateResult {
    const { told } = this;
    if (!told) return html`<p role="status">${t(this.store && !this.store.live.live ? 'app.noServer' : 'app.loading')}</p>`;
    return html`<p>${t('trust.intro')}</p>
      ${told.lines.map(({ line, kept, scores }) => html`<h2>${t('trust.kept', { line, n: kept })}</h2>
        ${scores.length === 0 ? html`<p>${t('trust.none')}</p>` : html`<p>${verdict(scores[0]!)}</p><div class="table" tabindex="0" role="region" aria-label=${t('trust.kept', { line, n: kept })}><table>
          <thead><tr>${HEADS.map((head) => html`<th scope="col">${t(head)}</th>`)}</tr></thead><tbody>${scores.map(scoreRow)}</tbody></table></div>`}`)}
      <p class="soft">${t('trust.notes')}</p>`;
  }
}

/** How far the forecasts can be trusted today, in a sentence: from the row of all days ahead. */
function verdict({ units, coverage, skillOverPace }: ForecastScores): string {
  const n = Math.round(coverage * 100);
  if (units < LEAST_UNITS) return t('trust.few', { n: units });
  const span = coverage < WANTED.least ? t('trust.narrow', { n }) : coverage > WANTED.most ? t('trust.wide', { n }) : t('trust.held', { n });
  return `${span} ${skillOverPace > 0 ? t('trust.better', { n: Math.round(skillOverPace * 100) }) : t('trust.noBetter')}`;
}

function scoreRow(scores: ForecastScores): TemplateResult {
  const percent = (share: number): string => `${Math.round(share * 100)} %`;
  const skill = (share: number): string => (share < -1 ? t('trust.farWorse') : percent(share));
  const { daysAhead, pinball } = scores;
  const ahead = daysAhead === null ? t('trust.all') : daysAhead >= MOST_DAYS ? t('trust.orMore', { n: daysAhead }) : String(daysAhead);
  return html`<tr><th scope="row">${ahead}</th><td>${scores.units}</td><td>${scores.forecasts}</td><td>${percent(scores.coverage)}</td><td>${percent(scores.tooEarly)}</td><td>${percent(scores.tooLate)}</td>
    <td class="whole">${[pinball.p10, pinball.p50, pinball.p80, pinball.p90].map((loss) => Math.round(loss)).join(' · ')}</td><td>${Math.round(scores.crps)}</td>
    <td>${skill(scores.skillOverPace)}</td><td>${skill(scores.skillOverMedians)}</td></tr>`;
}
