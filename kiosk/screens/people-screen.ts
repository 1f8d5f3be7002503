import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LinkReply, PersonListed } from '../../server/contract/access.ts';
import { type Role, ROLES } from '../../server/core/access/roles.ts';
import { ApiError, askJson } from '../data/api.ts';
import type { ScreenParams } from '../data/route.ts';
import { addPerson, changePerson, linkFor } from '../data/me.ts';
import { accessStyles } from '../styles/access.styles.ts';
import { base } from '../styles/tokens.ts';
import { t } from '../words/catalogue.ts';

/** The people of a plant: who wears which badge, in which roles, and how each signs in. */
@customElement('sh-people-screen')
export class PeopleScreen extends LitElement {
  static override styles = [base, accessStyles];

  @property({ attribute: false }) params: ScreenParams | null = null;
  @state() private people: PersonListed[] | null = null;
  @state() private wrong = '';
  @state() private said = '';
  @state() private link: { name: string; address: string } | null = null;
  /** Whose line is open; '' is the form for another person, null none. */
  @state() private open: string | null = null;

  override connectedCallback(): void {
    super.connectedCallback();
    void this.load();
  }

  private load(): Promise<void> {
    return this.run(async () => void (this.people = await askJson<PersonListed[]>(`/api/plants/${encodeURIComponent(this.params?.plant ?? '')}/people`)));
  }

  override render(): TemplateResult {
    return html`<h1>${t('nav.people')}</h1>
      ${this.wrong ? html`<p class="said wrong" role="alert">✖ ${this.wrong}</p>` : nothing}
      ${this.said ? html`<p class="said" role="status">✔ ${this.said}</p>` : nothing}
      ${this.link ? html`<section role="status"><p>${t('people.linkIs', { name: this.link.name })}</p><p class="link">${this.link.address}</p></section>` : nothing}
      <section>${this.open === '' ? this.form(null) : html`<button class="main" @click=${() => (this.open = '')}>${t('people.add')}</button>`}</section>
      <section>${this.people?.length === 0 ? html`<p>${t('people.none')}</p>` : html`<ul>${this.people?.map((person) => this.line(person))}</ul>`}</section>`;
  }

  private line(person: PersonListed): TemplateResult {
    if (this.open === person.id) return html`<li>${this.form(person)}</li>`;
    return html`<li><span>${person.name}</span><span>${person.left ? t('people.hasLeft') : person.roles.map((role) => t(`role.${role}`)).join(', ')}</span>
      <span class="soft">${t('station.badge')} ${person.badge ?? '–'}</span>
      <span class="end">${person.login === null || person.left ? nothing : html`<button @click=${() => void this.makeLink(person)} aria-label="${t('people.link')}: ${person.name}">${t('people.link')}</button>`}
        <button @click=${() => (this.open = person.id)} aria-label="${t('people.change')}: ${person.name}">${t('people.change')}</button></span></li>`;
  }

  private form(person: PersonListed | null): TemplateResult {
    return html`<form @submit=${(event: SubmitEvent) => this.submit(event, person)}>
      <label>${t('people.name')} <input name="name" required maxlength="100" .value=${person?.name ?? ''} autocomplete="off" /></label>
      <label>${t('station.badge')} <input name="badge" required maxlength="100" .value=${person?.badge ?? ''} autocomplete="off" /></label>
      <label>${t('people.login')} <input name="login" maxlength="100" .value=${person?.login ?? ''} autocomplete="off" autocapitalize="none" /></label>
      <label>${t('people.pin')} <input name="pin" type="password" inputmode="numeric" pattern="[0-9]{4,8}" autocomplete="off" /></label>
      <label>${t('people.language')} <select name="language"><option value="en" ?selected=${person?.language !== 'es'}>English</option><option value="es" ?selected=${person?.language === 'es'}>Español</option></select></label>
      <fieldset><legend>${t('people.roles')}</legend>
        ${ROLES.map((role) => html`<label><input type="checkbox" name="role" value=${role} ?checked=${person?.roles.includes(role) ?? false} /> ${t(`role.${role}`)}</label>`)}</fieldset>
      ${person ? html`<label class="tick"><input type="checkbox" name="left" ?checked=${person.left} /> ${t('people.left')}</label>` : nothing}
      <button class="main">${t('people.save')}</button><button type="button" @click=${() => (this.open = null)}>${t('station.cancel')}</button></form>`;
  }

  private submit(event: SubmitEvent, person: PersonListed | null): void {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    const field = (name: string): string => String(form.get(name) ?? '').trim();
    const body = {
      name: field('name'), badge: field('badge'), login: field('login') || null, language: field('language') === 'es' ? 'es' as const : 'en' as const,
      roles: form.getAll('role') as Role[], left: form.get('left') !== null, ...(field('pin') ? { pin: field('pin') } : {}),
    };
    void this.run(async () => {
      if (person) await changePerson(this.params?.plant ?? '', person.id, body);
      else this.show(body.name, await addPerson(this.params?.plant ?? '', body));
      this.open = null;
      this.said = t('people.saved', { name: body.name });
      this.people = await askJson<PersonListed[]>(`/api/plants/${encodeURIComponent(this.params?.plant ?? '')}/people`);
    });
  }

  private makeLink(person: PersonListed): Promise<void> {
    return this.run(async () => this.show(person.name, await linkFor(this.params?.plant ?? '', person)));
  }

  private show(name: string, { link }: LinkReply): void {
    this.link = link === null ? null : { name, address: `${location.origin}${link}` };
  }

  private async run(act: () => Promise<void>): Promise<void> {
    this.wrong = '';
    this.said = '';
    try {
      await act();
    } catch (error) {
      this.wrong = error instanceof ApiError && error.status > 0 ? `${error.what} ${error.whatToDo}` : t('error.noAnswer');
    }
  }
}
