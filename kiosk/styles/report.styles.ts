import { css } from 'lit';

/** Reports over weeks: a sentence first, then tables that hold their charts. */
export const reportStyles = css`
  :host { display: block; padding: 12px; }
  .filters { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; margin-bottom: 12px; }
  .filters > * { min-height: 44px; }
  label { display: grid; gap: 4px; min-width: 0; }
  select { width: 100%; }
  h1 { font-size: 1.35em; line-height: 1.35; margin: 4px 0; font-weight: 400; max-width: 60em; }
  h2 { margin: 26px 0 6px; font-size: 1.15em; }
  p { margin: 4px 0; max-width: 70em; }
  .soft, small { color: var(--ink-soft); font-weight: 400; }
  small { display: block; font-size: 0.9em; }
  .table { overflow-x: auto; }
  table { border-collapse: collapse; width: 100%; }
  th, td { text-align: start; vertical-align: middle; padding: 5px 14px 5px 0; border-bottom: 1px solid var(--rule); }
  thead th { vertical-align: bottom; }
  tfoot th, tfoot td { border-bottom: 0; border-top: 2px solid var(--ink-soft); }
  .number { text-align: end; font-variant-numeric: tabular-nums; }
  td.number a { display: inline-block; min-width: 28px; min-height: 24px; }
  .strip { width: 34%; }
  .whole, .week th, .number a { white-space: nowrap; }
  sh-visits-list { padding: 0; }
  .legend { display: flex; flex-wrap: wrap; gap: 4px 18px; margin: 6px 0; }
  .legend span { display: inline-flex; gap: 6px; align-items: center; }
  .pair { display: grid; grid-template-columns: minmax(0, 1.5fr) minmax(0, 1fr); gap: 8px 28px; align-items: start; }
  .bar { display: block; height: 22px; min-width: 2px; background: var(--ink-soft); border-radius: 2px; }
  .bar.vital { background: repeating-linear-gradient(135deg, var(--ink) 0 6px, var(--ink-soft) 6px 9px); }
  .good { background: var(--green-line); } .poor { background: repeating-linear-gradient(135deg, var(--yellow-line) 0 6px, var(--ground) 6px 9px); }
  .wrong { background: var(--red-fill); color: var(--red-ink); padding: 8px 12px; border-radius: var(--radius); }
  .note { background: var(--yellow-fill); color: var(--yellow-ink); padding: 6px 12px; border-radius: var(--radius); }
  .busy { opacity: 0.55; }
  @media (max-width: 1000px) { .pair { grid-template-columns: minmax(0, 1fr); } }
  @media (max-width: 800px) {
    .filters label { flex: 1 1 9em; }
    .cards thead { display: none; }
    .cards table, .cards tbody, .cards tfoot, .cards tr, .cards th, .cards td { display: block; padding: 0; border: 0; width: auto; text-align: start; }
    .cards tr { border-bottom: 1px solid var(--rule); padding: 10px 0; }
    .cards th { font-size: 1.15em; }
    .cards td { display: grid; grid-template-columns: 9.5em minmax(0, 1fr); gap: 0 10px; padding-top: 4px; }
    .cards td::before { content: attr(data-head); color: var(--ink-soft); }
    .cards td.strip { display: block; } .cards td.strip::before { content: none; }
  }
  @media (min-width: 1800px) { :host { font-size: 24px; } }
  @media print { .filters { display: none; } .table { overflow: visible; } table { font-size: 10pt; } }
`;
