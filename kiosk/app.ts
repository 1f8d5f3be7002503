import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { html as staticHtml, unsafeStatic } from 'lit/static-html.js';
import { SCREEN_GROUPS, type ScreenGroup } from '../server/contract/screens.ts';
import { localOf } from '../server/core/calendar/zone.ts';
import { fetchPlants, type PlantListed } from './data/api.ts';
import { MediaController } from './controllers/media.ts';
import { PlantStore } from './data/plant-store.ts';
import { knownPlants } from './data/known-plant.ts';
import { chooseLanguage, chooseTheme, keepLastScreen, lastScreen, theme } from './data/preferences.ts';
import { Program } from './data/program.ts';
import { parseRoute, type ScreenName, type ScreenParams, screenPath } from './data/route.ts';
import { type MenuGroup } from './elements/screen-menu.ts';
import './elements/screen-menu.ts';
import { SCREEN_MODULES } from './screens/screens.ts';
import { base } from './styles/tokens.ts';
import { language, t } from './words/catalogue.ts';

/** Screens of the floor, touched in gloves: the ways to the others wait behind one button. */
const FLOOR: readonly ScreenName[] = ['station', 'work', 'checks', 'access', 'parts'];

/** The shell: reads the address, keeps the plant's store, and shows its screen under the way to the others. */
@customElement('sh-app')
export class StationhandApp extends LitElement {
  static override styles = [base, css`
    :host { display: flex; flex-direction: column; min-height: 100%; }
    nav { display: flex; flex-wrap: wrap; gap: 8px 20px; align-items: center; padding: 8px 12px; background: var(--surface); border-bottom: 1px solid var(--rule); }
    nav button { min-height: 44px; display: inline-flex; align-items: center; }
    summary { min-height: var(--touch); min-width: var(--touch); padding: 0 20px; display: inline-flex; align-items: center; border: 2px solid var(--ink-soft); border-radius: var(--radius); cursor: pointer; font-weight: 600; list-style: none; }
    summary::before { content: '≡'; font-size: 1.5em; margin-inline-end: 10px; }
    .menu { display: flex; flex-wrap: wrap; gap: 12px; padding-top: 12px; align-items: center; }
    .menu a, .menu button { min-height: var(--touch); min-width: var(--touch); padding: 0 14px; justify-content: center; border: 2px solid var(--rule); border-radius: var(--radius); }
    nav .end { margin-inline-start: auto; display: flex; gap: 8px; flex-wrap: wrap; }
    .trouble { background: var(--yellow-fill); color: var(--yellow-ink); padding: 8px 12px; font-weight: 700; margin: 0; }
    .update { background: var(--blue-fill); color: var(--blue-ink); padding: 4px 12px; margin: 0; display: flex; flex-wrap: wrap; gap: 4px 16px; align-items: center; }
    .update button { min-height: var(--touch); color: var(--ink); font-weight: 700; }
    main { flex: 1; min-width: 0; position: relative; }
    .plants { padding: 12px; }
    @media print { nav, .trouble { display: none; } }
    @media (max-width: 600px) { nav { gap: 0 16px; padding: 4px 12px; } nav summary { min-height: 48px; } }
  `];

  @state() private params: ScreenParams | null = parseRoute(location.pathname, location.search);
  @state() private plants: PlantListed[] | null = null;
  @state() private noServer = false;
  private store: PlantStore | null = null;
  private unsubscribe: (() => void) | null = null;
  private wasLive = false;
  private readonly phone = new MediaController(this, '(max-width: 600px)');
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
    await SCREEN_MODULES[screen]();
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
        ${this.behindOne ? html`<details><summary>${t('nav.main')}</summary><div class="menu">${this.ways()}</div></details>` : this.ways()}
      </nav>
      ${this.noServer || (store && !store.live.live && store.view) ? html`<p class="trouble" role="alert">⚠ ${this.asKnown()} ${t('app.noServer')}</p>` : nothing}
      ${this.program.updated ? html`<p class="update" role="status">◆ ${t('app.updated')} <button @click=${() => this.program.take()}>${t('app.take')}</button></p>` : nothing}
      <main>${this.screen()}</main>`;
  }

  /** On the floor's screens and on a phone the way elsewhere is one button: the screen itself begins high. */
  private get behindOne(): boolean {
    const { screen = null, plant = '' } = this.params ?? {};
    return (screen !== null && FLOOR.includes(screen)) || (this.phone.matches && plant !== '');
  }

  /** The ways to the other screens, and what this device prefers. On the Station screen they wait behind one button, so that gloves find what the work needs. */
  private ways(): TemplateResult {
    const { params } = this;
    return html`${params?.plant ? html`<sh-screen-menu .groups=${menuGroups(params.plant, params.screen)} ?open=${this.behindOne}></sh-screen-menu>` : nothing}
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
    if (params?.screen) {
      const element = unsafeStatic(`sh-${params.screen}-screen`);
      return staticHtml`<${element} .store=${store} .params=${params}></${element}>`;
    }
    if (!params) return html`<p class="plants">${t('app.noPage')}</p>`;
    if (this.plants?.length === 0) return html`<p class="plants">${t('app.noPlants')}</p>`;
    return html`<ul class="plants">${this.plants?.map((plant) => html`<li><a href=${screenPath(plant.code, 'board')}>${plant.name}</a></li>`)}</ul>`;
  }
}

function menuGroups(plant: string, current: ScreenName | null): MenuGroup[] {
  return (Object.keys(SCREEN_GROUPS) as ScreenGroup[]).map((group) => ({
    name: t(`nav.group.${group}`), screens: SCREEN_GROUPS[group].map((screen) => ({ name: t(`nav.${screen}`), address: screenPath(plant, screen), current: screen === current })),
  }));
}
