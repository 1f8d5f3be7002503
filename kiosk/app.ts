import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { localOf } from '../server/core/calendar/zone.ts';
import { fetchPlants, type PlantListed } from './data/api.ts';
import { PlantStore } from './data/plant-store.ts';
import { knownPlants } from './data/known-plant.ts';
import { chooseLanguage, chooseTheme, keepLastScreen, lastScreen, theme } from './data/preferences.ts';
import { Program } from './data/program.ts';
import { parseRoute, type ScreenName, type ScreenParams, screenPath } from './data/route.ts';
import { base } from './styles/tokens.ts';
import { language, t } from './words/catalogue.ts';

const LISTED: Exclude<ScreenName, 'unit'>[] = ['station', 'board', 'late', 'loads', 'holds', 'work', 'checks', 'access', 'release', 'parts', 'trace', 'rates', 'schedule', 'walk', 'crew', 'summary', 'dwell', 'scans', 'plans', 'paper', 'kiosks'];

/** Screens of the floor, touched in gloves: the ways to the others wait behind one button. */
const FLOOR: readonly ScreenName[] = ['station', 'work', 'checks', 'access', 'parts'];

/** The shell: reads the address, keeps the plant's store, and shows its screen under the way to the others. */
@customElement('sh-app')
export class StationhandApp extends LitElement {
  static override styles = [base, css`
    :host { display: flex; flex-direction: column; min-height: 100%; }
    nav { display: flex; flex-wrap: wrap; gap: 8px 20px; align-items: center; padding: 8px 12px; background: var(--surface); border-bottom: 1px solid var(--rule); }
    nav a, nav button { min-height: 44px; display: inline-flex; align-items: center; }
    nav a[aria-current] { font-weight: 700; text-decoration: none; color: var(--ink); }
    summary { min-height: var(--touch); min-width: var(--touch); padding: 0 20px; display: inline-flex; align-items: center; border: 2px solid var(--ink-soft); border-radius: var(--radius); cursor: pointer; font-weight: 600; list-style: none; }
    summary::before { content: '≡'; font-size: 1.5em; margin-inline-end: 10px; }
    .menu { display: flex; flex-wrap: wrap; gap: 12px; padding-top: 12px; align-items: center; }
    .menu a, .menu button { min-height: var(--touch); min-width: var(--touch); padding: 0 14px; justify-content: center; border: 2px solid var(--rule); border-radius: var(--radius); }
    nav .end { margin-inline-start: auto; display: flex; gap: 8px; flex-wrap: wrap; }
    /* On a phone the way to the screens is one row that is pushed aside, so that the screen itself begins high. */
    @media (max-width: 600px) { nav { flex-wrap: nowrap; overflow-x: auto; } nav > *, nav .end { flex: none; } nav .end { flex-wrap: nowrap; } }
    .trouble { background: var(--yellow-fill); color: var(--yellow-ink); padding: 8px 12px; font-weight: 700; margin: 0; }
    .update { background: var(--blue-fill); color: var(--blue-ink); padding: 4px 12px; margin: 0; display: flex; flex-wrap: wrap; gap: 4px 16px; align-items: center; }
    .update button { min-height: var(--touch); color: var(--ink); font-weight: 700; }
    main { flex: 1; min-width: 0; position: relative; }
    .plants { padding: 12px; }
    @media print { nav, .trouble { display: none; } }
    @media (max-width: 600px) { nav { gap: 0 16px; padding: 2px 12px 6px; } nav .end { margin-inline-start: 0; } }
  `];

  @state() private params: ScreenParams | null = parseRoute(location.pathname, location.search);
  @state() private plants: PlantListed[] | null = null;
  @state() private noServer = false;
  private store: PlantStore | null = null;
  private unsubscribe: (() => void) | null = null;
  private wasLive = false;
  private readonly program = new Program(() => this.requestUpdate());

  override connectedCallback(): void {
    super.connectedCallback();
    this.program.start();
    const last = lastScreen();
    if (last !== null && this.params?.plant === '' && 'start' in this.params.query) location.replace(last);
    else if (this.params?.screen) void this.open(this.params.screen, this.params.plant);
    else void this.list();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.unsubscribe?.();
    this.store?.stop();
  }

  private async open(screen: ScreenName, plant: string): Promise<void> {
    const at = screen === 'station' ? (this.params?.query['at'] ?? '') : '';
    this.store = new PlantStore(plant, at);
    this.unsubscribe = this.store.subscribe(() => this.heard());
    keepLastScreen(`${location.pathname}${location.search}`);
    this.store.start();
    if (screen === 'board') await import('./screens/board-screen.ts');
    if (screen === 'station') await import('./screens/station-screen.ts');
    if (screen === 'late') await import('./screens/late-screen.ts');
    if (screen === 'loads') await import('./screens/loads-screen.ts');
    if (screen === 'unit') await import('./screens/unit-screen.ts');
    if (screen === 'holds') await import('./screens/holds-screen.ts');
    if (screen === 'schedule') await import('./screens/schedule-screen.ts');
    if (screen === 'walk') await import('./screens/walk-screen.ts');
    if (screen === 'plans') await import('./screens/plans-screen.ts');
    if (screen === 'trust') await import('./screens/trust-screen.ts');
    if (screen === 'crew') await import('./screens/crew-screen.ts');
    if (screen === 'summary') await import('./screens/summary-screen.ts');
    if (screen === 'dwell') await import('./screens/dwell-screen.ts');
    if (screen === 'scans') await import('./screens/scans-screen.ts');
    if (screen === 'paper') await import('./screens/paper-screen.ts');
    if (screen === 'work') await import('./screens/work-screen.ts');
    if (screen === 'checks') await import('./screens/checks-screen.ts');
    if (screen === 'access') await import('./screens/access-screen.ts');
    if (screen === 'release') await import('./screens/release-screen.ts');
    if (screen === 'parts') await import('./screens/parts-screen.ts');
    if (screen === 'trace') await import('./screens/trace-screen.ts');
    if (screen === 'rates') await import('./screens/rates-screen.ts');
    if (screen === 'kiosks') await import('./screens/kiosks-screen.ts');
    this.requestUpdate();
  }

  private heard(): void {
    if (this.store!.live.live && !this.wasLive) this.program.look();
    this.wasLive = this.store!.live.live;
    this.requestUpdate();
  }

  private async list(): Promise<void> {
    try {
      this.plants = await fetchPlants();
      this.noServer = false;
    } catch {
      this.noServer = true;
      this.plants ??= await knownPlants();
      setTimeout(() => void this.list(), 3_000);
    }
  }

  override render(): TemplateResult {
    const { params, store } = this;
    return html`<nav aria-label=${t('nav.main')}>
        <strong>${t('app.name')}</strong>
        ${params?.screen && FLOOR.includes(params.screen) ? html`<details><summary>${t('nav.main')}</summary><div class="menu">${this.ways()}</div></details>` : this.ways()}
      </nav>
      ${this.noServer || (store && !store.live.live && store.view) ? html`<p class="trouble" role="alert">⚠ ${this.asKnown()} ${t('app.noServer')}</p>` : nothing}
      ${this.program.updated ? html`<p class="update" role="status">◆ ${t('app.updated')} <button @click=${() => this.program.take()}>${t('app.take')}</button></p>` : nothing}
      <main>${this.screen()}</main>`;
  }

  /** The ways to the other screens, and what this device prefers. On the floor's screens they wait behind one button, so that gloves find what the work needs. */
  private ways(): TemplateResult {
    const { params } = this;
    return html`${params?.plant ? LISTED.map((screen) => html`<a href=${screenPath(params.plant, screen)} aria-current=${params.screen === screen ? 'page' : nothing}>${t(`nav.${screen}`)}</a>`) : nothing}
      <span class="end">
        <button @click=${() => this.prefer(() => chooseLanguage(language() === 'en' ? 'es' : 'en'))}>${t('nav.language')}</button>
        <button @click=${() => this.prefer(() => chooseTheme(theme() === 'dark' ? 'light' : 'dark'))}>${t(theme() === 'dark' ? 'nav.light' : 'nav.dark')}</button>
      </span>`;
  }

  /** As of when the screen shows the plant while the server does not answer. */
  private asKnown(): string {
    const { asAt, view } = this.store ?? {};
    if (typeof asAt !== 'number' || !view) return '';
    const [then, today] = [localOf(view.plant.timeZone, asAt), localOf(view.plant.timeZone, this.store!.now())];
    return t('app.asKnown', { time: then.date === today.date ? then.time : `${then.date} ${then.time}` });
  }

  private prefer(choose: () => void): void {
    choose();
    // Words are read when an element draws: a screen is drawn anew as a whole.
    location.reload();
  }

  private screen(): TemplateResult {
    const { params, store } = this;
    if (params?.screen === 'board') return html`<sh-board-screen .store=${store} .params=${params}></sh-board-screen>`;
    if (params?.screen === 'station') return html`<sh-station-screen .store=${store} .params=${params}></sh-station-screen>`;
    if (params?.screen === 'late') return html`<sh-late-screen .store=${store} .params=${params}></sh-late-screen>`;
    if (params?.screen === 'loads') return html`<sh-loads-screen .store=${store} .params=${params}></sh-loads-screen>`;
    if (params?.screen === 'unit') return html`<sh-unit-screen .store=${store} .params=${params}></sh-unit-screen>`;
    if (params?.screen === 'holds') return html`<sh-holds-screen .store=${store} .params=${params}></sh-holds-screen>`;
    if (params?.screen === 'schedule') return html`<sh-schedule-screen .store=${store} .params=${params}></sh-schedule-screen>`;
    if (params?.screen === 'walk') return html`<sh-walk-screen .store=${store} .params=${params}></sh-walk-screen>`;
    if (params?.screen === 'plans') return html`<sh-plans-screen .store=${store} .params=${params}></sh-plans-screen>`;
    if (params?.screen === 'trust') return html`<sh-trust-screen .store=${store} .params=${params}></sh-trust-screen>`;
    if (params?.screen === 'paper') return html`<sh-paper-screen .store=${store} .params=${params}></sh-paper-screen>`;
    if (params?.screen === 'crew') return html`<sh-crew-screen .store=${store} .params=${params}></sh-crew-screen>`;
    if (params?.screen === 'summary') return html`<sh-summary-screen .store=${store} .params=${params}></sh-summary-screen>`;
    if (params?.screen === 'dwell') return html`<sh-dwell-screen .store=${store} .params=${params}></sh-dwell-screen>`;
    if (params?.screen === 'scans') return html`<sh-scans-screen .store=${store} .params=${params}></sh-scans-screen>`;
    if (params?.screen === 'work') return html`<sh-work-screen .store=${store} .params=${params}></sh-work-screen>`;
    if (params?.screen === 'checks') return html`<sh-checks-screen .store=${store} .params=${params}></sh-checks-screen>`;
    if (params?.screen === 'access') return html`<sh-access-screen .store=${store} .params=${params}></sh-access-screen>`;
    if (params?.screen === 'release') return html`<sh-release-screen .store=${store} .params=${params}></sh-release-screen>`;
    if (params?.screen === 'parts') return html`<sh-parts-screen .store=${store} .params=${params}></sh-parts-screen>`;
    if (params?.screen === 'trace') return html`<sh-trace-screen .store=${store} .params=${params}></sh-trace-screen>`;
    if (params?.screen === 'rates') return html`<sh-rates-screen .store=${store} .params=${params}></sh-rates-screen>`;
    if (params?.screen === 'kiosks') return html`<sh-kiosks-screen .store=${store} .params=${params}></sh-kiosks-screen>`;
    if (params?.screen || !params) return html`<p class="plants">${t('app.noPage')}</p>`;
    if (this.plants?.length === 0) return html`<p class="plants">${t('app.noPlants')}</p>`;
    return html`<ul class="plants">${this.plants?.map((plant) => html`<li><a href=${screenPath(plant.code, 'board')}>${plant.name}</a></li>`)}</ul>`;
  }
}
