import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { fetchPlants, type PlantListed } from './data/api.ts';
import { PlantStore } from './data/plant-store.ts';
import { chooseLanguage, chooseTheme, theme } from './data/preferences.ts';
import { parseRoute, type ScreenName, type ScreenParams, screenPath } from './data/route.ts';
import { base } from './styles/tokens.ts';
import { language, t } from './words/catalogue.ts';

const LISTED: Exclude<ScreenName, 'unit'>[] = ['station', 'board', 'late', 'holds', 'schedule', 'walk', 'crew', 'summary', 'dwell', 'scans', 'plans', 'paper'];

/** The shell: reads the address, keeps the plant's store, and shows its screen under the way to the others. */
@customElement('sh-app')
export class StationhandApp extends LitElement {
  static override styles = [base, css`
    :host { display: flex; flex-direction: column; min-height: 100%; }
    nav { display: flex; flex-wrap: wrap; gap: 8px 20px; align-items: center; padding: 8px 12px; background: var(--surface); border-bottom: 1px solid var(--rule); }
    nav a, nav button { min-height: 44px; display: inline-flex; align-items: center; }
    nav a[aria-current] { font-weight: 700; text-decoration: none; color: var(--ink); }
    nav .end { margin-inline-start: auto; display: flex; gap: 8px; flex-wrap: wrap; }
    /* On a phone the way to the screens is one row that is pushed aside, so that the screen itself begins high. */
    @media (max-width: 600px) { nav { flex-wrap: nowrap; overflow-x: auto; } nav > *, nav .end { flex: none; } nav .end { flex-wrap: nowrap; } }
    .trouble { background: var(--yellow-fill); color: var(--yellow-ink); padding: 8px 12px; font-weight: 700; margin: 0; }
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

  override connectedCallback(): void {
    super.connectedCallback();
    if (this.params?.screen) void this.open(this.params.screen, this.params.plant);
    else void this.list();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.unsubscribe?.();
    this.store?.stop();
  }

  private async open(screen: ScreenName, plant: string): Promise<void> {
    this.store = new PlantStore(plant);
    this.unsubscribe = this.store.subscribe(() => this.requestUpdate());
    this.store.start();
    if (screen === 'board') await import('./screens/board-screen.ts');
    if (screen === 'station') await import('./screens/station-screen.ts');
    if (screen === 'late') await import('./screens/late-screen.ts');
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
    this.requestUpdate();
  }

  private async list(): Promise<void> {
    try {
      this.plants = await fetchPlants();
      this.noServer = false;
    } catch {
      this.noServer = true;
      setTimeout(() => void this.list(), 3_000);
    }
  }

  override render(): TemplateResult {
    const { params, store } = this;
    return html`<nav aria-label=${t('nav.main')}>
        <strong>${t('app.name')}</strong>
        ${params?.plant ? LISTED.map((screen) => html`<a href=${screenPath(params.plant, screen)} aria-current=${params.screen === screen ? 'page' : nothing}>${t(`nav.${screen}`)}</a>`) : nothing}
        <span class="end">
          <button @click=${() => this.prefer(() => chooseLanguage(language() === 'en' ? 'es' : 'en'))}>${t('nav.language')}</button>
          <button @click=${() => this.prefer(() => chooseTheme(theme() === 'dark' ? 'light' : 'dark'))}>${t(theme() === 'dark' ? 'nav.light' : 'nav.dark')}</button>
        </span>
      </nav>
      ${this.noServer || (store && !store.live.live && store.view) ? html`<p class="trouble" role="alert">⚠ ${t('app.noServer')}</p>` : nothing}
      <main>${this.screen()}</main>`;
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
    if (params?.screen || !params) return html`<p class="plants">${t('app.noPage')}</p>`;
    if (this.plants?.length === 0) return html`<p class="plants">${t('app.noPlants')}</p>`;
    return html`<ul class="plants">${this.plants?.map((plant) => html`<li><a href=${screenPath(plant.code, 'board')}>${plant.name}</a></li>`)}</ul>`;
  }
}
