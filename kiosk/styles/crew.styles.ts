import { css } from 'lit';

/** The crew table, one line a station, over the Station screen's styles. */
export const crewStyles = css`
  h2, p { margin: 0; }
  dl { display: grid; grid-template-columns: repeat(3, minmax(0, 1fr)); gap: 12px; margin: 0; }
  dt { overflow-wrap: anywhere; } dd { margin: 0; font-size: 2.2em; font-weight: 700; line-height: 1.1; }
  table { border-collapse: collapse; width: 100%; }
  th, td { text-align: start; padding: 4px 10px 4px 0; border-top: 1px solid var(--rule); }
  thead th { border-top: 0; font-size: 0.9em; vertical-align: bottom; }
  tbody th { font-weight: 400; overflow-wrap: anywhere; }
  .line th { font-weight: 700; padding-top: 18px; border-top: 0; }
  .step { display: grid; grid-template-columns: var(--touch) minmax(2.2em, auto) var(--touch); gap: 6px; align-items: center; justify-content: start; }
  .step b { font-size: 1.5em; text-align: center; }
  .step button { font-size: 1.6em; padding: 0; }
  .short { font-weight: 700; } .short small { font-weight: 400; }
  .beneath { display: none; }
  .halves { display: flex; gap: 12px; align-items: center; min-height: 48px; }
  .halves input { width: 32px; min-height: 32px; height: 32px; flex: none; }
  ul { list-style: none; margin: 0; padding: 0; }
  li { padding: 6px 0; overflow-wrap: anywhere; }
  @media (max-width: 900px) { .aside { grid-row: auto; } }
  @media (max-width: 600px) { :host { font-size: 18px; } th, td { padding-right: 4px; } tbody th { font-size: 0.85em; } .step { gap: 2px; grid-template-columns: var(--touch) minmax(1.5em, auto) var(--touch); }
    dl { grid-template-columns: minmax(0, 1fr); gap: 4px; } dl > div { display: flex; justify-content: space-between; align-items: baseline; gap: 12px; } dd { font-size: 1.6em; }
    .standard { display: none; } .beneath { display: block; color: var(--ink-soft); } }
`;
