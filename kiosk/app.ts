import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { html as staticHtml, unsafeStatic } from 'lit/static-html.js';
import type { Me } from '../server/contract/access.ts';
import { SCREEN_GROUPS, type ScreenGroup } from '../server/contract/screens.ts';
import type { Holder } from '../server/core/access/rights.ts';
import { localOf } from '../server/core/calendar/zone.ts';
import { MediaController } from './controllers/media.ts';
import { fetchPlants, type PlantListed, SIGNED_OUT } from './data/api.ts';
import { knownPlants } from './data/known-plant.ts';
import { fetchMe, knownMe, LOOKED_AFTER, type LookedAfter, mayLookAfter, signOut } from './data/me.ts';
import { Outbox } from './data/outbox.ts';
import { PhotoBox } from './data/photo-box.ts';
import { PlantStore } from './data/plant-store.ts';
import { chooseLanguage, chooseTheme, chooseWho, keepLastScreen, lastScreen, theme } from './data/preferences.ts';
import { Program } from './data/program.ts';
import { isSignInPath, parseRoute, type ScreenName, type ScreenParams, screenPath, signInPath } from './data/route.ts';
import { type MenuGroup } from './elements/screen-menu.ts';
import './elements/screen-menu.ts';
import { SCREEN_MODULES } from './screens/screens.ts';
import { base } from './styles/tokens.ts';
import { language, t } from './words/catalogue.ts';

/** Screens of the floor, touched in gloves: the ways to the others wait behind one button. */
const FLOOR: readonly ScreenName[] = ['station', 'work', 'checks', 'access', 'parts'];
const ASK_AGAIN_MS = 3_000;

/** The shell: reads the address, keeps the plant's store, and shows its screen under the way to the others. */
@customElement('sh-app')
export class StationhandApp extends LitElement {
  static override styles = [base, css`
    :host { display: flex; flex-direction: column; min-height: 100%; }
    nav { display: flex; flex-wrap: wrap; gap: 8px 20px; align-items: center; padding: 8px 12px; background: var(--surface); border-bottom: 1px solid var(--rule); }
    nav button, .menu a { min-height: 44px; display: inline-flex; align-items: center; }
    summary { min-height: var(--touch); min-width: var(--touch); padding: 0 20px; display: inline-flex; align-items: center; border: 2px solid var(--ink-soft); border-radius: var(--radius); cursor: pointer; font-weight: 600; list-style: none; }
    summary::before { content: '≡'; font-size: 1.5em; margin-inline-end: 10px; }
    .menu { display: flex; flex-wrap: wrap; gap: 12px; padding-top: 12px; align-items: center; }
    .menu a, .menu button { min-height: var(--touch); min-width: var(--touch); padding: 0 14px; justify-content: center; border: 2px solid var(--rule); border-radius: var(--radius); }
    nav .end { margin-inline-start: auto; display: flex; gap: 8px; flex-wrap: wrap; align-items: center; }
    .trouble a { color: inherit; }
    .trouble { background: var(--yellow-fill); color: var(--yellow-ink); padding: 8px 12px; font-weight: 700; margin: 0; }
    .update { background: var(--blue-fill); color: var(--blue-ink); padding: 4px 12px; margin: 0; display: flex; flex-wrap: wrap; gap: 4px 16px; align-items: center; }
    .update button { min-height: var(--touch); color: var(--ink); font-weight: 700; }
    main { flex: 1; min-width: 0; position: relative; }
    .plants { padding: 12px; }
    @media print { nav, .trouble { display: none; } }
    @media (max-width: 600px) { nav { gap: 0 16px; padding: 4px 12px; } }
  `];

  @state() private params: ScreenParams | null = parseRoute(location.pathname, location.search);
  @state() private plants: PlantListed[] | null = null;
  @state() private noServer = false;
  @state() private me: Me | null = null;
  @state() private signedOut = false;
  @state() private signingIn = false;
  /** The screen's element is there: drawn before, it would come to life without what it is given. */
  @state() private loaded = false;
  private store: PlantStore | null = null;
  /** Facts of this device, also where nobody is let in. */
  private outbox: Outbox | null = null;
  private unsubscribe: (() => void) | null = null;
  private wasLive = false;
  private readonly phone = new MediaController(this, '(max-width: 600px)');
  private readonly program = new Program(() => this.requestUpdate());

  override connectedCallback(): void {
    super.connectedCallback();
    this.program.start();
    window.addEventListener(SIGNED_OUT, this.onSignedOut);
    const last = lastScreen();
    if (last !== null && this.params?.plant === '' && 'start' in this.params.query) location.replace(last);
    else void this.enter();
  }

  /** Opens what this browser was let in to when the server last said so, for it may not answer now; then asks who this browser is. */
  private async enter(): Promise<void> {
    const known = knownMe();
    if (known && this.isLetIn(known)) await this.letIn(known);
    await this.askWho();
  }

  /** Whoever may not see the page is led to where one signs in. */
  private async askWho(): Promise<void> {
    try {
      const me = await fetchMe();
      this.noServer = false;
      if (me.person) chooseWho(me.person.badge);
      if (this.isLetIn(me)) return await this.letIn(me);
      await import('./screens/sign-in-screen.ts');
      this.me = me;
      this.signingIn = true;
      this.handIn();
    } catch {
      this.noServer = true;
      setTimeout(() => void this.askWho(), ASK_AGAIN_MS);
    }
  }

  private isLetIn({ plants, person }: Me): boolean {
    const plant = this.params?.plant;
    if (isSignInPath(location.pathname)) return false;
    return plant ? (plants[plant] ?? []).length > 0 : Object.keys(plants).length > 0 || person !== null;
  }

  private async letIn(me: Me): Promise<void> {
    this.me = me;
    const { params } = this;
    if (!params?.screen) await this.list();
    else if (!this.store) await this.open(params.screen, params.plant);
  }

  /** What a kiosk stated before it was let out still counts, and what a person stated waits here for signing in: both are sent from this page too. */
  private handIn(): void {
    const plant = this.params?.plant ?? '';
    this.outbox = this.store?.outbox ?? new Outbox(plant);
    this.outbox.subscribe(() => this.requestUpdate());
    if (this.store) return;
    this.outbox.start();
    if (plant !== '') void new PhotoBox(plant, () => {}).send();
  }

  private readonly onSignedOut = (): void => void (this.signedOut = !this.signingIn);

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener(SIGNED_OUT, this.onSignedOut);
    this.unsubscribe?.();
    this.store?.stop();
  }

  private async open(screen: ScreenName, plant: string): Promise<void> {
    const at = screen === 'station' ? (this.params?.query['at'] ?? '') : '';
    this.store = new PlantStore(plant, at);
    this.outbox = this.store.outbox;
    this.unsubscribe = this.store.subscribe(() => this.heard());
    keepLastScreen(`${location.pathname}${location.search}`);
    this.store.start();
    await SCREEN_MODULES[screen]();
    this.loaded = true;
    this.requestUpdate();
  }

  private heard(): void {
    if (this.store!.live.live && !this.wasLive) {
      this.program.look();
      // Somebody was let in again in another tab.
      this.signedOut = false;
    }
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
      ${this.noServer || (store && !store.live.live && store.view && !this.signingIn) ? html`<p class="trouble" role="alert">⚠ ${this.asKnown()} ${t('app.noServer')}</p>` : nothing}
      ${this.signedOut ? html`<p class="trouble" role="alert">◆ ${t('access.signedOut')} <a href=${signInPath(location.pathname + location.search)}>${t('access.signIn')}</a></p>` : nothing}
      ${this.waiting()}
      ${this.program.updated ? html`<p class="update" role="status">◆ ${t('app.updated')} <button @click=${() => this.program.take()}>${t('app.take')}</button></p>` : nothing}
      <main>${this.screen()}</main>`;
  }

  /** Facts that wait for somebody: whoever stated them, or one who pairs the device. */
  private waiting(): TemplateResult | typeof nothing {
    const { people, device } = this.outbox?.waiting() ?? { people: new Map<string, number>(), device: 0 };
    const unsent = (this.outbox?.unsent().n ?? 0) - [...people.values()].reduce((sum, n) => sum + n, device);
    const says = (words: string): TemplateResult => html`<p class="trouble" role="alert">◆ ${words}</p>`;
    return html`${this.signingIn && unsent > 0 ? says(t('access.unsent', { n: unsent })) : nothing}
      ${[...people].map(([who, n]) => says(t('access.waitsFor', { n, who })))}${device > 0 ? says(t('access.waitsForDevice', { n: device })) : nothing}`;
  }

  /** On the floor's screens and on a phone the way elsewhere is one button: the screen itself begins high. */
  private get behindOne(): boolean {
    const { screen = null, plant = '' } = this.params ?? {};
    return !this.signingIn && ((screen !== null && FLOOR.includes(screen)) || (this.phone.matches && plant !== ''));
  }

  /** The ways to the other screens, and what this device prefers. On the Station screen they wait behind one button, so that gloves find what the work needs. */
  private ways(): TemplateResult {
    const { params } = this;
    return html`${params?.plant && !this.signingIn ? html`<sh-screen-menu .groups=${menuGroups(params.plant, params.screen, this.me?.plants[params.plant] ?? [])} ?open=${this.behindOne}></sh-screen-menu>` : nothing}
      <span class="end">
        ${this.who()}
        <button @click=${() => this.prefer(() => chooseLanguage(language() === 'en' ? 'es' : 'en'))}>${t('nav.language')}</button>
        <button @click=${() => this.prefer(() => chooseTheme(theme() === 'dark' ? 'light' : 'dark'))}>${t(theme() === 'dark' ? 'nav.light' : 'nav.dark')}</button>
      </span>`;
  }

  private who(): TemplateResult | typeof nothing {
    const { me } = this;
    if (!me || this.signingIn) return nothing;
    if (!me.person) return html`<a href=${signInPath(location.pathname + location.search)}>${t('access.signIn')}</a>`;
    return html`<span class="who">${me.person.name}</span> <button @click=${() => void signOut().then(() => location.reload())}>${t('access.signOut')}</button>`;
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
    if (this.signingIn) return html`<sh-sign-in-screen .me=${this.me} .plant=${params?.plant ?? ''}></sh-sign-in-screen>`;
    if (this.me === null && !this.noServer) return html`<p class="plants" role="status">${t('app.loading')}</p>`;
    if (params?.screen) {
      if (!this.loaded) return html`<p class="plants" role="status">${t('app.loading')}</p>`;
      const element = unsafeStatic(`sh-${params.screen}-screen`);
      return staticHtml`<${element} .store=${store} .params=${params}></${element}>`;
    }
    if (!params) return html`<p class="plants">${t('app.noPage')}</p>`;
    if (this.plants?.length === 0) return html`<p class="plants">${t('app.noPlants')}</p>`;
    return html`<ul class="plants">${this.plants?.map((plant) => html`<li><a href=${screenPath(plant.code, 'board')}>${plant.name}</a></li>`)}</ul>`;
  }
}

/** The ways that `holders` may go: who looks after people and devices has those screens too. */
function menuGroups(plant: string, current: ScreenName | null, holders: readonly Holder[]): MenuGroup[] {
  const may = (screen: ScreenName): boolean => !LOOKED_AFTER.has(screen) || mayLookAfter(holders).includes(screen as LookedAfter);
  return (Object.keys(SCREEN_GROUPS) as ScreenGroup[]).map((group) => ({
    name: t(`nav.group.${group}`), screens: [...SCREEN_GROUPS[group]].filter(may).map((screen) => ({ name: t(`nav.${screen}`), address: screenPath(plant, screen), current: screen === current })),
  }));
}
