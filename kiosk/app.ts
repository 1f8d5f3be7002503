import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { Me } from '../server/contract/access.ts';
import { ApiError, fetchPlants, type PlantListed, SIGNED_OUT } from './data/api.ts';
import { fetchMe, mayLookAfter, signOut } from './data/me.ts';
import { PlantStore } from './data/plant-store.ts';
import { chooseLanguage, chooseTheme, chooseWho, theme } from './data/preferences.ts';
import { isSignInPath, parseRoute, type ScreenName, type ScreenParams, screenPath, signInPath } from './data/route.ts';
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
    nav .end { margin-inline-start: auto; display: flex; gap: 8px; flex-wrap: wrap; align-items: center; }
    .trouble a { color: inherit; }
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
  @state() private me: Me | null = null;
  @state() private signedOut = false;
  @state() private signingIn = false;
  private store: PlantStore | null = null;
  private unsubscribe: (() => void) | null = null;

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener(SIGNED_OUT, this.onSignedOut);
    void this.enter();
  }

  /** Asks who this browser is; whoever may not see the page is led to where one signs in. */
  private async enter(): Promise<void> {
    const { params } = this;
    try {
      this.me = await fetchMe();
      this.noServer = false;
    } catch (error) {
      this.noServer = error instanceof ApiError && error.status === 0;
      setTimeout(() => void this.enter(), 3_000);
      return;
    }
    if (this.me.person) chooseWho(this.me.person.badge);
    const letIn = params?.plant ? (this.me.plants[params.plant] ?? []).length > 0 : Object.keys(this.me.plants).length > 0 || this.me.person !== null;
    if (isSignInPath(location.pathname) || !letIn) {
      await import('./screens/sign-in-screen.ts');
      this.signingIn = true;
    } else if (params?.screen) await this.open(params.screen, params.plant);
    else await this.list();
  }

  private readonly onSignedOut = (): void => void (this.signedOut = !this.signingIn);

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener(SIGNED_OUT, this.onSignedOut);
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
    if (screen === 'people') await import('./screens/people-screen.ts');
    if (screen === 'devices') await import('./screens/devices-screen.ts');
    if (screen === 'audit') await import('./screens/audit-screen.ts');
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
        ${params?.plant && !this.signingIn ? this.listed(params.plant).map((screen) => html`<a href=${screenPath(params.plant, screen)} aria-current=${params.screen === screen ? 'page' : nothing}>${t(`nav.${screen}`)}</a>`) : nothing}
        <span class="end">
          ${this.who()}
          <button @click=${() => this.prefer(() => chooseLanguage(language() === 'en' ? 'es' : 'en'))}>${t('nav.language')}</button>
          <button @click=${() => this.prefer(() => chooseTheme(theme() === 'dark' ? 'light' : 'dark'))}>${t(theme() === 'dark' ? 'nav.light' : 'nav.dark')}</button>
        </span>
      </nav>
      ${this.noServer || (store && !store.live.live && store.view) ? html`<p class="trouble" role="alert">⚠ ${t('app.noServer')}</p>` : nothing}
      ${this.signedOut ? html`<p class="trouble" role="alert">◆ ${t('access.signedOut')} <a href=${signInPath(location.pathname + location.search)}>${t('access.signIn')}</a></p>` : nothing}
      <main>${this.screen()}</main>`;
  }

  private listed(plant: string): Exclude<ScreenName, 'unit'>[] {
    const holders = this.me?.plants[plant] ?? [];
    return [...LISTED, ...mayLookAfter(holders)];
  }

  private who(): TemplateResult | typeof nothing {
    const { me } = this;
    if (!me || this.signingIn) return nothing;
    if (!me.person) return html`<a href=${signInPath(location.pathname + location.search)}>${t('access.signIn')}</a>`;
    return html`<span class="who">${me.person.name}</span> <button @click=${() => void signOut().then(() => location.reload())}>${t('access.signOut')}</button>`;
  }

  private prefer(choose: () => void): void {
    choose();
    // Words are read when an element draws: a screen is drawn anew as a whole.
    location.reload();
  }

  private screen(): TemplateResult {
    const { params, store } = this;
    if (this.signingIn) return html`<sh-sign-in-screen .me=${this.me} .plant=${params?.plant ?? ''}></sh-sign-in-screen>`;
    if (this.me === null && !this.noServer) return html`<p class="plants" role="status">${t('app.loading')}</p>`;
    if (params?.screen === 'people') return html`<sh-people-screen .plant=${params.plant}></sh-people-screen>`;
    if (params?.screen === 'devices') return html`<sh-devices-screen .store=${store}></sh-devices-screen>`;
    if (params?.screen === 'audit') return html`<sh-audit-screen .plant=${params.plant} .store=${store}></sh-audit-screen>`;
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
