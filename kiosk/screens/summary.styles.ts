import { css } from 'lit';

/** The shift summary: two columns of sections on a desk and on paper, one on a phone; on paper one page in black on white. */
export const summaryStyles = css`
  :host { display: block; padding: 12px; max-width: 1500px; margin: 0 auto; }
  h1 { margin: 0; font-size: 1.45em; line-height: 1.2; }
  h2 { margin: 0 0 4px; font-size: 1.1em; border-bottom: 2px solid var(--ink-soft); }
  h3 { margin: 8px 0 0; font-size: 1em; }
  .split { display: flex; justify-content: space-between; gap: 12px; } .split .soft { font-weight: 400; }
  p { margin: 4px 0; }
  .bar { display: flex; flex-wrap: wrap; gap: 8px 12px; align-items: end; margin-bottom: 12px; }
  .bar button, .bar select, .bar input { min-height: 48px; }
  label { display: grid; gap: 4px; min-width: 0; }
  header { display: flex; flex-wrap: wrap; gap: 2px 16px; align-items: baseline; margin-bottom: 12px; }
  .columns { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0 32px; }
  .columns > div { display: grid; gap: 18px; align-content: start; min-width: 0; }
  ul { list-style: none; margin: 0; padding: 0; }
  li { padding: 5px 0; border-bottom: 1px solid var(--rule); overflow-wrap: anywhere; }
  .soft { color: var(--ink-soft); }
  .under { display: block; }
  .action { display: grid; grid-template-columns: minmax(0, 1fr) auto; gap: 0 12px; align-items: center; }
  .action > details[open] { grid-column: 1 / -1; }
  .cause { display: grid; grid-template-columns: 4.6em minmax(0, 1fr) auto; gap: 0 12px; }
  .figure { text-align: end; font-variant-numeric: tabular-nums; white-space: nowrap; }
  .cause > .figure:first-child { font-weight: 700; }
  .share { display: block; border-block-start: 4px solid var(--grey-line); }
  .unsent { color: var(--blue-line); font-weight: 700; }
  summary { cursor: pointer; min-height: 44px; line-height: 44px; color: var(--blue-line); display: list-item; width: fit-content; padding-inline-end: 12px; }
  form { display: flex; flex-wrap: wrap; gap: 10px; align-items: end; padding-bottom: 12px; }
  form label { flex: 1 1 11em; } form .wide { flex-basis: 100%; }
  form input, form button { min-height: 48px; width: 100%; } form button { width: auto; }
  .act { font-weight: 700; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
  .files { display: flex; flex-wrap: wrap; gap: 8px; padding-bottom: 12px; } .files button { min-height: 48px; }
  .wrong { background: var(--red-fill); color: var(--red-ink); padding: 8px 12px; border-radius: var(--radius); font-weight: 700; }
  .old { background: var(--grey-fill); color: var(--grey-ink); padding: 8px 12px; border-radius: var(--radius); }
  .old a { color: inherit; }
  .paper { display: none; }
  @media (max-width: 900px) { .columns { grid-template-columns: minmax(0, 1fr); gap: 18px; } }
  @media (max-width: 600px) { .bar label, .bar button { flex: 1 1 8em; } .cause { gap: 0 8px; } }
  @media print {
    :host { padding: 0; max-width: none; font-size: 8.2pt; line-height: 1.2; }
    .screen, .bar { display: none !important; }
    .paper { display: block; }
    header { margin-bottom: 6px; }
    /* Sections flow from one column into the other, so that both are used whatever is long. */
    .columns { display: block; columns: 2; column-gap: 18px; }
    .columns > div { display: contents; }
    section { margin-bottom: 8px; }
    li { break-inside: avoid; } h2, h3 { break-after: avoid; }
    h2 { border-bottom-width: 1px; margin-bottom: 1px; } h3 { margin-top: 3px; }
    li { padding: 1.5px 0; } p { margin: 1px 0; }
    a { text-decoration: none; }
    .state-tag { padding: 0 !important; font-weight: 700; }
    .cause { grid-template-columns: 4.6em minmax(0, 1fr) auto; gap: 0 8px; }
    .share { border-block-start-width: 2px; }
    .first-4 > li:nth-child(n + 5), .first-5 > li:nth-child(n + 6), .first-6 > li:nth-child(n + 7), .first-8 > li:nth-child(n + 9) { display: none; }
  }
`;
