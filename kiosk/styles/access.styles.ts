import { css } from 'lit';

/** Forms and tables of people and devices. */
export const accessStyles = css`
  :host { display: grid; gap: 16px; padding: 12px; max-width: 1100px; align-content: start; }
  h1 { font-size: 1.5em; margin: 0; } h2 { font-size: 1.2em; margin: 0 0 8px; } p { margin: 0; }
  section { background: var(--surface); border: 1px solid var(--rule); border-radius: var(--radius); padding: 12px 16px; min-width: 0; }
  form { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; }
  label { display: grid; gap: 4px; } input, select, button { min-height: 48px; }
  fieldset { border: 1px solid var(--rule); display: flex; flex-wrap: wrap; gap: 4px 16px; flex: 1 1 100%; max-height: 16em; overflow: auto; }
  fieldset label, .tick { display: flex; gap: 8px; align-items: center; min-height: 44px; } input[type='checkbox'] { width: 24px; min-height: 24px; flex: none; }
  .main { font-weight: 700; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
  .code { font-size: 3em; font-weight: 700; letter-spacing: 0.15em; font-variant-numeric: tabular-nums; }
  .link { overflow-wrap: anywhere; font-weight: 700; }
  .said { padding: 8px 12px; border-radius: var(--radius); background: var(--green-fill); color: var(--green-ink); } .wrong { background: var(--red-fill); color: var(--red-ink); }
  ul { list-style: none; margin: 0; padding: 0; } li { display: flex; flex-wrap: wrap; gap: 4px 16px; align-items: center; padding: 8px 0; border-top: 1px solid var(--rule); overflow-wrap: anywhere; }
  li > :first-child { font-weight: 700; } li .end { margin-inline-start: auto; } .soft { color: var(--ink-soft); }
  td:nth-child(-n+3), th { white-space: nowrap; }
  .table { overflow-x: auto; } table { border-collapse: collapse; width: 100%; } th, td { text-align: start; vertical-align: top; padding: 6px 12px 6px 0; border-top: 1px solid var(--rule); overflow-wrap: anywhere; }
`;
