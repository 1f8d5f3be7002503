import { css } from 'lit';

/** The walk-down on a tablet: the next place, its unit and the two answers are the biggest things; over the Station screen's styles. */
export const walkStyles = css`
  header .figures { font-weight: 700; }
  progress { width: 100%; height: 18px; grid-column: 1 / -1; accent-color: var(--green-line); }
  .next { gap: 4px; }
  .place { font-size: 2.2em; font-weight: 700; line-height: 1.1; overflow-wrap: anywhere; }
  .serial { font-size: 3em; }
  .answers { display: grid; gap: 12px; grid-template-columns: 1.6fr 1fr; }
  .answers .main { font-size: 1.7em; min-height: 130px; }
  .answers .no { background: var(--surface); color: var(--ink); border-color: var(--ink-soft); }
  .answers.one { grid-template-columns: 1fr; }
  .found, .lost { display: flex; flex-wrap: wrap; gap: 8px 12px; align-items: end; }
  .found label, .lost label { display: grid; gap: 4px; flex: 20 1 14em; }
  .found button, .lost button { flex: 1 0 auto; }
  .found .slot, .lost .slot { flex: 1 1 6em; }
  ul { list-style: none; margin: 0; padding: 0; }
  li { padding: 8px 0; border-top: 1px solid var(--rule); overflow-wrap: anywhere; }
  li:first-child { border-top: 0; }
  h2 { margin: 0; }
  p { margin: 0; }
  .places button { text-align: start; font-weight: 400; }
  summary { min-height: 48px; line-height: 48px; font-weight: 700; cursor: pointer; }
  dl { display: grid; grid-template-columns: repeat(3, minmax(0, 1fr)); gap: 12px; margin: 0; }
  dt { overflow-wrap: anywhere; } dd { margin: 0; font-size: 2.2em; font-weight: 700; line-height: 1.1; }
  .links { display: flex; flex-wrap: wrap; gap: 10px 20px; }
  @media (max-width: 600px) { .answers { grid-template-columns: 1fr; } .answers .main { min-height: 96px; } .serial { font-size: 2.4em; } .serial.none { font-size: 1.4em; }
    /* What was heard stands below the answers, so that they stay where the thumb is. */
    .said.good, .said.note { order: 1; font-size: 1em; } h1 { font-size: 1.2em; } section + section { order: 2; }
    dl { grid-template-columns: minmax(0, 1fr); gap: 4px; } dl > div { display: flex; justify-content: space-between; align-items: baseline; gap: 12px; } dd { font-size: 1.6em; } }
`;
