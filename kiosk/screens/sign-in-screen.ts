import { css, html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { type Me, PROVIDER_OUTCOMES, type ProviderOutcome } from '../../server/contract/access.ts';
import { ApiError } from '../data/api.ts';
import { beginAtProvider, choosePassword, comeFromProvider, fetchMe, pair, pairWithDemo, signIn, signInByPin } from '../data/me.ts';
import { chooseLanguage } from '../data/preferences.ts';
import { screenPath } from '../data/route.ts';
import { accessStyles } from '../styles/access.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

/** The way back is kept in the tab while it is at the provider. */
const BACK_TO = 'stationhand-back-to';

/** Where this browser is let in: by name and password, at the OpenID provider, as a kiosk by a code, at a kiosk by badge and PIN, and by a one-time link. */
@customElement('sh-sign-in-screen')
export class SignInScreen extends LitElement {
  static override styles = [base, accessStyles, css`
    /* It stands on the floor too, where a kiosk is paired and a PIN given in gloves. */
    input, button { min-height: var(--touch); } button { min-width: var(--touch); }
    .said { font-weight: 700; }
  `];

  @property({ attribute: false }) me: Me | null = null;
  @property() plant = '';
  @state() private wrong = '';
  @state() private said = '';
  /** From after the number sign, which no server is sent. */
  @state() private token = location.pathname === '/link' ? location.hash.slice(1) : '';

  override connectedCallback(): void {
    super.connectedCallback();
    this.hearProvider();
  }

  override render(): TemplateResult {
    return html`${this.said ? html`<p class="said" role="status">✔ ${this.said}</p>` : nothing}
      ${this.wrong ? html`<p class="said wrong" role="alert">✖ ${this.wrong}</p>` : nothing}
      ${this.token ? this.link() : this.ways()}`;
  }

  private ways(): TemplateResult {
    const { me } = this;
    const kiosk = me?.device?.plant ?? null;
    return html`${me?.revoked ? html`<p class="said wrong" role="status">■ ${t('access.revoked', { name: me.revoked })}</p>` : nothing}${me?.demo && kiosk === null ? html`<section><h2>${t('access.demoTitle')}</h2>
        <p><button class="main" @click=${() => void this.run(pairWithDemo)}>${t('access.demo')}</button></p><p class="soft">${t('access.demoPeople')}</p></section>` : nothing}
      <section><h1>${t('access.signIn')}</h1>
        <form @submit=${(event: SubmitEvent) => this.submit(event, (field) => signIn(field('login'), field('password')))}>
          <label>${t('access.login')} <input name="login" required maxlength="100" autocomplete="username" autocapitalize="none" /></label>
          <label>${t('access.password')} <input name="password" type="password" required maxlength="200" autocomplete="current-password" /></label>
          <button class="main">${t('access.signIn')}</button></form>
        ${me?.provider ? html`<p><button class="main" @click=${() => void this.run(() => this.goToProvider(), false)}>${t('access.provider', { name: me.provider })}</button></p>` : nothing}</section>
      ${kiosk === null ? html`<section><h2>${t('access.pairTitle')}</h2>
        <form @submit=${(event: SubmitEvent) => this.submit(event, (field) => pair(field('code')))}>
          <label>${t('access.pairCode')} <input name="code" required maxlength="40" autocomplete="off" autocapitalize="characters" /></label>
          <button>${t('access.pair')}</button></form></section>`
      : html`<section><h2>${t('access.pinTitle')}</h2><p class="soft">${t('access.pinFor')}</p>
        <form @submit=${(event: SubmitEvent) => this.submit(event, (field) => signInByPin(kiosk, field('badge'), field('pin')))}>
          <label>${t('station.badge')} <input name="badge" required maxlength="100" autocomplete="off" /></label>
          <label>${t('access.pin')} <input name="pin" type="password" inputmode="numeric" required maxlength="8" autocomplete="off" /></label>
          <button>${t('access.signIn')}</button></form></section>`}`;
  }

  private link(): TemplateResult {
    const choose = async (field: (name: string) => string): Promise<void> => {
      const login = await choosePassword(this.token, field('password'), field('login') || null);
      this.token = '';
      history.replaceState(null, '', '/sign-in');
      this.said = t('access.linkUsed', { login });
    };
    return html`<section><h1>${t('access.choose')}</h1>
      <form @submit=${(event: SubmitEvent) => this.submit(event, choose, false)}>
        <label>${t('access.newPassword')} <input name="password" type="password" required minlength="12" maxlength="128" autocomplete="new-password" /></label>
        <label>${t('access.first')} <input name="login" maxlength="100" autocomplete="username" autocapitalize="none" /></label>
        <button class="main">${t('access.setPassword')}</button></form></section>`;
  }

  private submit(event: SubmitEvent, act: (field: (name: string) => string) => Promise<void>, leave = true): void {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    void this.run(() => act((name) => String(form.get(name) ?? '')), leave);
  }

  private async run(act: () => Promise<void>, leave = true): Promise<void> {
    this.wrong = '';
    this.said = '';
    try {
      await act();
      if (leave) this.leave(await fetchMe());
    } catch (error) {
      const ended = error instanceof ApiError ? PROVIDER_OUTCOMES.find((outcome) => outcome === error.code) : undefined;
      if (ended) this.wrong = this.sayEnded(ended);
      else this.wrong = error instanceof ApiError && error.status > 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
    }
  }

  private leave({ person }: Me): void {
    if (person) chooseLanguage(person.language);
    const to = this.backTo();
    sessionStorage.removeItem(BACK_TO);
    location.assign(to);
  }

  private async goToProvider(): Promise<void> {
    const address = await beginAtProvider();
    sessionStorage.setItem(BACK_TO, this.backTo());
    location.assign(address);
  }

  /** How it ended at the provider stands in the address that the server led back to. */
  private hearProvider(): void {
    const ended = PROVIDER_OUTCOMES.find((outcome) => outcome === new URLSearchParams(location.search).get('provider'));
    if (!ended) return;
    history.replaceState(null, '', '/sign-in');
    if (ended === 'signedIn') {
      void this.run(async () => this.leave(await comeFromProvider()), false);
      this.said = t('access.provider.signedIn');
    } else this.wrong = this.sayEnded(ended);
  }

  private sayEnded(outcome: ProviderOutcome): string {
    return t(`access.provider.${outcome}`, { name: this.me?.provider ?? '' });
  }

  /** Where the person came from: a path of this program, and nothing else that somebody may have written into the address. */
  private backTo(): string {
    const said = new URLSearchParams(location.search).get('to');
    if (said && /^\/(?![/\\])/.test(said)) return said;
    if (this.plant && location.pathname !== '/sign-in' && location.pathname !== '/link') return location.pathname + location.search;
    const kept = sessionStorage.getItem(BACK_TO);
    if (kept !== null) return kept;
    const demo = this.me?.demo;
    return demo ? screenPath(demo, 'board') : '/';
  }
}
