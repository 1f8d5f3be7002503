import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { UnitReply } from '../../server/contract/replies.ts';
import type { Fact } from '../../server/core/facts/fact.ts';
import type { Visit } from '../../server/core/timeline/visit.ts';
import type { Instant } from '../../server/core/units.ts';
import { PlantController } from '../controllers/plant.ts';
import { ApiError, ask, askJson } from '../data/api.ts';
import { serverNow } from '../data/clock.ts';
import type { PlantStore } from '../data/plant-store.ts';
import { qualityPath, type ScreenParams } from '../data/route.ts';
import { unreleasedShip } from '../../server/core/gates/unreleased-ship.ts';
import { missingForRelease } from '../../server/core/gates/release.ts';
import { printPaper, unitPaperPath } from '../data/print-paper.ts';
import { missingText, qualityPanel } from './quality-panel.ts';
import { labelsPanel } from './labels-panel.ts';
import { refusedNotices } from './refused-notices.ts';
import { uncheckedOverrides } from './unchecked-overrides.ts';
import { axisRows } from './unit-axis.ts';
import '../elements/time-axis.ts';
import './change-form.ts';
import { stateTag } from '../styles/states.ts';
import { noticeStyles } from '../styles/notice.styles.ts';
import { settleStyles } from '../styles/settle.styles.ts';
import { base } from '../styles/tokens.ts';
import { locale, t, wordKey } from '../words/catalogue.ts';
import { reasonText } from '../words/reasons.ts';

/** The whole story of one unit: its schedule, its way on a time axis, its visits in minutes, everything stated of it. */
@customElement('sh-unit-screen')
export class UnitScreen extends LitElement {
  static override styles = [base, settleStyles, css`
    :host { display: block; padding: 12px; }
    h1 { margin: 0 0 8px; font-size: 2em; overflow-wrap: anywhere; }
    h2 { margin: 24px 0 8px; font-size: 1.2em; }
    dl { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(200px, 40%), 1fr)); gap: 8px 20px; margin: 14px 0 0; }
    dt { color: var(--ink-soft); } dd { margin: 0; overflow-wrap: anywhere; }
    .row { display: flex; flex-wrap: wrap; gap: 8px 16px; align-items: center; }
    .table { overflow-x: auto; } table { border-collapse: collapse; width: 100%; }
    th, td { text-align: start; padding: 6px 14px 6px 0; border-bottom: 1px solid var(--rule); vertical-align: top; }
    .number { text-align: end; font-variant-numeric: tabular-nums; }
    button { min-height: 48px; font-weight: 600; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
    .wrong { background: var(--red-fill); color: var(--red-ink); padding: 10px 14px; border-radius: var(--radius); }
    .way { min-height: 44px; display: inline-flex; align-items: center; }
    h3 { margin: 14px 0 4px; font-size: 1em; } h2 + p, h3 + p { margin: 0 0 6px; }
    .tag { display: inline-flex; gap: 0.4em; padding: 0.1em 0.55em; border-radius: var(--radius); background: var(--grey-fill); color: var(--grey-ink); }
    .tag.red { background: var(--red-fill); color: var(--red-ink); } .tag.yellow { background: var(--yellow-fill); color: var(--yellow-ink); } .tag.green { background: var(--green-fill); color: var(--green-ink); }
    .soft { color: var(--ink-soft); }
    .change summary { min-height: 48px; line-height: 48px; font-weight: 700; cursor: pointer; }
    @media (min-width: 1800px) { :host { font-size: 24px; } }
  `, noticeStyles];

  @property({ attribute: false }) store: PlantStore | null = null;
  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private story: UnitReply | null = null;
  @state() private problem = '';
  private told = -1;
  private readonly plant = new PlantController(this, () => this.store);

  override willUpdate(): void {
    const version = this.store?.view?.version ?? 0;
    if (version === this.told) return;
    this.told = version;
    void this.fetch();
  }

  override render(): TemplateResult {
    const { story } = this;
    if (!story || !this.store?.view) return html`<p role="status">${this.problem || t('app.loading')}</p>`;
    const { state: unit } = story;
    return html`<h1>${unit.unit}</h1>${refusedNotices(this.store.outbox)}
      <div class="row">${unit.place ? html`<b>${unit.place.station} ${unit.place.slot}</b>` : nothing}
        ${unit.stage === 'offLine' ? html`${stateTag('offLine')} ${reasonText(unit.offLineReason ?? '')}` : nothing}
        ${unit.holds.map((hold) => html`<span>${stateTag('held')} ${reasonText(hold.reason)}</span>`)}
        ${story.late?.late ? stateTag('late') : nothing}
        ${unit.shorts.map((short) => html`<span>${t('station.shortOf', { what: short.what, owner: short.owner })}</span>`)}
        ${unit.released ? html`<span>${t('unit.released', { time: this.time(unit.released) })}</span>`
          : ['yard', 'inspection'].includes(unit.stage) ? this.releaseButton(unit) : nothing}</div>
      ${uncheckedOverrides(this.store.outbox, unit.unit)}
      ${this.problem ? html`<p class="wrong" role="alert">✖ ${this.problem}</p>` : nothing}
      ${unreleasedShip(unit) ? html`<p class="wrong">⬣ ${t('release.goneUnit')} <a class="way" style="color: inherit" href=${qualityPath(this.store.plant, 'release', {})}>${t('nav.release')}</a></p>` : nothing}
      ${unit.releaseLost ? html`<p class="wrong">✖ ${t('quality.releaseLost', { time: this.time(unit.releaseLost.at), missing: unit.releaseLost.missing.join('; ') })}</p>` : nothing}
      ${this.papers(unit.unit)}
      ${this.schedule(story)}
      ${qualityPanel(this.store.view.plant, unit, serverNow(), this.worked(story))}
      ${labelsPanel(this.store, unit, story.manufactured, () => void this.print(unit.unit, 'labels'))}
      ${unit.stage === 'cancelled' ? nothing : html`<details class="change"><summary>${t('change.title')}</summary><sh-change-form .store=${this.store} .unit=${unit}></sh-change-form></details>`}
      <h2>${t('unit.axis')}</h2>
      ${story.visits.length === 0 ? html`<p>${t('unit.noVisits')}</p>` : html`<sh-time-axis .rows=${axisRows(story, this.store!.view!, serverNow())} .tick=${(instant: number) => this.time(instant)}></sh-time-axis>`}
      ${story.visits.length === 0 ? nothing : html`<h2 id="visits">${t('unit.visits')}</h2>${this.visits(story)}`}
      <h2>${t('unit.facts')}</h2>${this.facts(story)}`;
  }

  /** The office's next step; what keeps it from that stands beside it, and the server says the same (definitions §8). */
  private releaseButton(unit: UnitReply['state']): TemplateResult {
    const [first] = missingForRelease(unit, this.store!.view!.plant, serverNow());
    return html`<button ?disabled=${first !== undefined} @click=${() => void this.release()}>${t('unit.release')}</button> ${first ? missingText(first) : ''}`;
  }

  private papers(unit: string): TemplateResult {
    return html`<div class="row">${(['traveler', 'tags'] as const).map((paper) => html`<button @click=${() => void this.print(unit, paper)}>${t(`paper.${paper}`)}</button>`)}
      ${(['work', 'checks', 'access', 'parts', 'release'] as const).map((screen) => html`<a class="way" href=${qualityPath(this.store?.plant ?? '', screen, { unit })}>${t(`nav.${screen}`)}</a>`)}</div>`;
  }

  private async print(unit: string, paper: 'traveler' | 'tags' | 'labels'): Promise<void> {
    this.problem = '';
    try {
      await printPaper(unitPaperPath(this.store?.plant ?? '', unit, paper));
    } catch (error) {
      this.problem = error instanceof ApiError && error.status !== 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
    }
  }

  /** Minutes of work it has had where it stands. */
  private worked({ visits }: UnitReply): number {
    return visits.find(({ left, notScanned }) => left === null && !notScanned)?.minutes.work ?? 0;
  }

  private schedule({ state: unit }: UnitReply): TemplateResult {
    const moved = unit.promiseMoved ? t('unit.moved', { who: unit.promiseMoved.who, reason: reasonText(unit.promiseMoved.reason) }) : '';
    const rows: [string, string][] = [
      [t('unit.model'), unit.model ?? ''], [t('unit.options'), unit.options.join(' + ')], [t('unit.order'), unit.order], [t('unit.dealer'), unit.dealer],
      [t('unit.vin'), unit.vin ?? ''], [t('unit.sequence'), String(unit.sequence ?? '')], [t('unit.plannedRelease'), unit.plannedRelease ? this.time(unit.plannedRelease) : ''],
      [t('unit.wish'), unit.wish ?? ''], [t('unit.firstPromise'), unit.firstPromise ?? ''], [t('unit.promise'), `${unit.promise ?? ''} ${moved}`],
    ];
    return html`<dl>${rows.filter(([, value]) => value.trim() !== '').map(([label, value]) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`)}</dl>`;
  }

  private visits({ visits }: UnitReply): TemplateResult {
    const states = ['work', 'held', 'stopped', 'blocked', 'rollLag'] as const;
    return html`<div class="table" tabindex="0" role="region" aria-labelledby="visits"><table><thead><tr><th>${t('unit.station')}</th><th>${t('unit.arrived')}</th><th>${t('unit.left')}</th>
      <th class="number">${t('unit.standard')}</th>${states.map((name) => html`<th class="number">${t(`state.${name}`)}</th>`)}<th class="number">${t('unit.delay')}</th></tr></thead>
      <tbody>${visits.map((visit) => visit.notScanned ? html`<tr><td>${visit.station}</td><td colspan="8" class="soft">${t('unit.notScanned')}</td></tr>` : html`<tr><td>${visit.station}</td>
        <td>${this.time(visit.arrived!)}</td><td>${visit.left ? this.time(visit.left) : t('unit.now')} ${note(visit)}</td><td class="number">${Math.round(visit.standard)}</td>
        ${states.map((name) => html`<td class="number">${Math.round(visit.minutes[name])}</td>`)}<td class="number">${Math.round(visit.stationDelay)}</td></tr>`)}</tbody></table></div>`;
  }

  private facts({ facts, flags }: UnitReply): TemplateResult {
    return html`<div class="table" tabindex="0" role="region" aria-label=${t('unit.facts')}><table><tbody>${facts.toSorted((a, b) => b.happened - a.happened).map((fact) => {
      const key = wordKey(`fact.${fact.kind}`);
      const told = flags.filter((flag) => flag.fact === fact.id);
      return html`<tr><td>${this.time(fact.happened)} ${correction(fact)}</td><td>${key ? t(key) : fact.kind}</td><td>${'station' in fact ? fact.station : ''} ${'reason' in fact ? reasonText(fact.reason) : ''}</td>
        <td>${fact.who}</td><td>${told.map((flag) => html`${stateTag('flagged')} ${t(wordKey(`flag.${flag.code}`) ?? 'state.flagged')} ${flag.detail}<br />`)}</td></tr>`;
    })}</tbody></table></div>`;
  }

  private time(instant: Instant): string {
    const zone = this.store?.view?.plant.timeZone;
    return new Date(instant).toLocaleString(locale(), { month: 'short', day: 'numeric', hour: '2-digit', minute: '2-digit', ...(zone ? { timeZone: zone } : {}) });
  }

  private path(): string {
    return `/api/plants/${encodeURIComponent(this.store?.plant ?? '')}/units/${encodeURIComponent(this.params?.unit ?? '')}`;
  }

  private async fetch(): Promise<void> {
    try {
      this.story = await askJson<UnitReply>(this.path());
    } catch (error) {
      if (error instanceof ApiError && error.status === 404) this.problem = t('unit.unknown', { unit: this.params?.unit ?? '' });
      else if (!this.story) this.problem = t('app.noServer');
    }
  }

  private async release(): Promise<void> {
    this.problem = '';
    try {
      await ask(`${this.path()}/release`, { method: 'POST' });
      await this.fetch();
    } catch (error) {
      this.problem = error instanceof ApiError && error.what ? `${error.what} ${error.whatToDo}` : String(error);
    }
  }
}

/** That the device's clock was wrong when it was stated, and by how much its instant was moved for it. */
function correction({ corrected = 0 }: Fact): TemplateResult | typeof nothing {
  if (corrected === 0) return nothing;
  const n = Math.max(1, Math.round(Math.abs(corrected) / 60_000));
  return html`<br /><span class="soft">${t(corrected > 0 ? 'unit.clockSlow' : 'unit.clockFast', { n })}</span>`;
}

function note(visit: Visit): TemplateResult | typeof nothing {
  return visit.finishAssumed ? html`<span class="soft">(${t('unit.finishAssumed')})</span>` : nothing;
}
