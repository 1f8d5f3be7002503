import { css } from 'lit';

/** What the screens of quality add to the Station screen's styles. */
export const qualityStyles = css`
  h2, h3, p { margin: 0; } h3 { font-size: 1em; }
  .main.act { background: var(--blue-fill); color: var(--blue-ink); }
  .caution { grid-column: 1 / -1; background: var(--yellow-fill); color: var(--yellow-ink); border: 4px solid var(--yellow-ink); border-radius: var(--radius); padding: 12px 16px; font-weight: 700; display: flex; gap: 14px; align-items: center; }
  .caution > span:first-child { font-size: 2.2em; line-height: 1; }
  .list { list-style: none; margin: 0; padding: 0; display: grid; gap: 10px; }
  .list > li { background: var(--surface); border: 2px solid var(--rule); border-radius: var(--radius); padding: 12px; display: grid; gap: 8px; overflow-wrap: anywhere; }
  .list > li.grave { border-color: var(--red-line); }
  .list > li.good { border-color: var(--green-line); }
  .list b { font-size: 1.15em; }
  .tags { display: flex; flex-wrap: wrap; gap: 4px 14px; align-items: center; }
  .tag { display: inline-flex; gap: 0.4em; align-items: center; padding: 0.1em 0.55em; border-radius: var(--radius); background: var(--grey-fill); color: var(--grey-ink); }
  .card > .tag { justify-self: start; }
  .tag.red { background: var(--red-fill); color: var(--red-ink); } .tag.yellow { background: var(--yellow-fill); color: var(--yellow-ink); }
  .tag.green { background: var(--green-fill); color: var(--green-ink); } .tag.blue { background: var(--blue-fill); color: var(--blue-ink); }
  .views { display: grid; gap: 8px; grid-template-columns: repeat(auto-fit, minmax(190px, 1fr)); }
  .choices { display: grid; gap: 10px; grid-template-columns: repeat(auto-fit, minmax(110px, 1fr)); }
  .choices button[aria-pressed='true'] { background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
  .yes[aria-pressed='true'] { background: var(--green-fill) !important; color: var(--green-ink) !important; } .no[aria-pressed='true'] { background: var(--red-fill) !important; color: var(--red-ink) !important; }
  fieldset { border: 0; margin: 0; padding: 0; display: grid; gap: 6px; min-width: 0; } legend { padding: 0; margin-bottom: 4px; font-weight: 700; }
  textarea { font: inherit; color: inherit; background: var(--surface); border: 2px solid var(--ink-soft); border-radius: var(--radius); padding: 8px 12px; width: 100%; }
  table { border-collapse: collapse; width: 100%; } th, td { text-align: start; padding: 6px 12px 6px 0; border-bottom: 1px solid var(--rule); vertical-align: top; overflow-wrap: anywhere; }
  .table { overflow-x: auto; } .wide th, .wide td { white-space: nowrap; }
  .number { text-align: end; font-variant-numeric: tabular-nums; }
  a.button { display: inline-grid; place-content: center; text-align: center; min-height: var(--touch); min-width: var(--touch); padding: 8px 14px; border: 2px solid var(--ink-soft); border-radius: var(--radius); background: var(--surface); color: var(--ink); font-weight: 600; text-decoration: none; }
  a.button.main { min-height: 150px; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
  small { font-weight: 400; font-size: 0.85em; }
  @media (max-width: 600px) { :host { font-size: 18px; } .serial { font-size: 1.8em; } .main { min-height: 96px; font-size: 1.5em; } }
  @media print { .side, .form, button { display: none; } :host { display: block; } }
`;
