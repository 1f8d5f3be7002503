import { css, html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base } from '../styles/tokens.ts';

export interface MenuGroup {
  name: string;
  screens: { name: string; address: string; current: boolean }[];
}

/**
 * The way to the other screens, in groups. On most screens a group opens below its name, one at a time, and where one stands is said beside it; `open`: all
 * groups one below the other, with targets for gloves.
 */
@customElement('sh-screen-menu')
export class ScreenMenu extends LitElement {
  static override styles = [base, css`
    :host { display: flex; flex-wrap: wrap; gap: 4px 8px; align-items: center; min-width: 0; }
    details { position: relative; }
    summary { min-height: 44px; padding: 0 14px; display: inline-flex; align-items: center; gap: 8px; cursor: pointer; border: 2px solid transparent; border-radius: var(--radius); list-style: none; white-space: nowrap; color: var(--blue-line); }
    summary::-webkit-details-marker { display: none; }
    summary::after { content: '▾'; }
    summary.here { color: var(--ink); font-weight: 700; }
    details[open] > summary { border-color: var(--ink-soft); }
    .panel { position: absolute; z-index: 20; top: 100%; inset-inline-start: 0; min-width: 14em; padding: 6px; background: var(--surface); border: 2px solid var(--ink-soft); border-radius: var(--radius); display: grid; }
    .panel a { min-height: 44px; display: flex; align-items: center; padding: 0 12px; border-radius: var(--radius); }
    a[aria-current] { font-weight: 700; color: var(--ink); text-decoration: none; background: var(--sunken); }
    section { width: 100%; } h2 { font-size: 1em; margin: 4px 0; color: var(--ink-soft); font-weight: 600; }
    section > div { display: flex; flex-wrap: wrap; gap: 12px; }
    section a { min-height: var(--touch); min-width: var(--touch); padding: 0 14px; display: inline-flex; align-items: center; justify-content: center; border: 2px solid var(--rule); border-radius: var(--radius); }
    @media (max-width: 600px) { section > div { gap: 8px; } }
  `];

  @property({ attribute: false }) groups: readonly MenuGroup[] = [];
  @property({ type: Boolean }) open = false;

  override connectedCallback(): void {
    super.connectedCallback();
    document.addEventListener('click', this.closeOutside);
    this.addEventListener('keydown', this.closeByKey);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    document.removeEventListener('click', this.closeOutside);
    this.removeEventListener('keydown', this.closeByKey);
  }

  override updated(_: PropertyValues<this>): void {
    for (const details of this.renderRoot.querySelectorAll('details')) details.addEventListener('toggle', () => details.open && this.close(details));
  }

  override render(): TemplateResult {
    if (this.open) return html`${this.groups.map(({ name, screens }) => html`<section><h2>${name}</h2><div>${screens.map(link)}</div></section>`)}`;
    return html`${this.groups.map(({ name, screens }) => {
      const here = screens.find(({ current }) => current);
      return html`<details><summary class=${here ? 'here' : ''}>${name}${here ? html`: ${here.name}` : nothing}</summary><div class="panel">${screens.map(link)}</div></details>`;
    })}`;
  }

  private close(except: HTMLDetailsElement | null): void {
    for (const details of this.renderRoot.querySelectorAll('details')) if (details !== except) details.open = false;
  }

  private readonly closeOutside = (event: Event): void => {
    if (!event.composedPath().includes(this)) this.close(null);
  };

  private readonly closeByKey = (event: KeyboardEvent): void => {
    const open = this.renderRoot.querySelector<HTMLDetailsElement>('details[open]');
    if (event.key !== 'Escape' || !open) return;
    open.open = false;
    open.querySelector('summary')?.focus();
  };
}

function link({ name, address, current }: MenuGroup['screens'][number]): TemplateResult {
  return html`<a href=${address} aria-current=${current ? 'page' : nothing}>${name}</a>`;
}
