import { css } from 'lit';

/** The Station screen: read at arm's length, touched in gloves; the next thing to do is the biggest thing. */
export const stationStyles = css`
  :host { display: grid; gap: 12px; padding: 12px; grid-template-columns: minmax(0, 1.7fr) minmax(0, 1fr); align-content: start; font-size: 20px; }
  :host([hand='right']) { grid-template-columns: minmax(0, 1fr) minmax(0, 1.7fr); }
  :host([hand='right']) > .side { order: 1; }
  :host([hand='right']) > section:not(.side) { order: 2; }
  header { grid-column: 1 / -1; display: flex; flex-wrap: wrap; gap: 8px 20px; align-items: center; }
  h1 { margin: 0; font-size: 1.6em; flex: 1 1 12em; min-width: 0; overflow-wrap: anywhere; }
  h2 { margin: 8px 0; font-size: 1.05em; }
  button { min-height: var(--touch); min-width: var(--touch); font-size: 1em; font-weight: 600; overflow-wrap: anywhere; }
  button[aria-pressed='true'] { outline: 4px solid var(--focus); }
  .main { background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); font-size: 1.9em; width: 100%; min-height: 150px; line-height: 1.15; }
  .card { background: var(--surface); border: 2px solid var(--rule); border-radius: var(--radius); padding: 14px; display: grid; gap: 10px; }
  .serial { font-size: 2.4em; font-weight: 700; line-height: 1; overflow-wrap: anywhere; }
  .row { display: flex; flex-wrap: wrap; gap: 6px 18px; align-items: center; }
  .row > button { flex: none; }
  .grid { display: grid; gap: 12px; grid-template-columns: repeat(auto-fill, minmax(9.5em, 1fr)); }
  .side > .grid { grid-template-columns: repeat(auto-fill, minmax(6.9em, 1fr)); }
  .side > .grid button { padding: 8px; }
  .actions { display: grid; gap: 12px; grid-template-columns: repeat(auto-fit, minmax(6.9em, 1fr)); }
  .actions button { padding: 8px; }
  .form { display: grid; gap: 12px; }
  .form label { display: grid; gap: 4px; }
  input, select { min-height: var(--touch); font-size: 1.2em; width: 100%; }
  .badge { width: 11em; }
  .said { grid-column: 1 / -1; display: flex; flex-wrap: wrap; gap: 8px 12px; align-items: center; padding: 12px 16px; border-radius: var(--radius); font-size: 1.3em; font-weight: 700; }
  .said.good { background: var(--green-fill); color: var(--green-ink); }
  .said.wrong { background: var(--red-fill); color: var(--red-ink); }
  .said.act { background: var(--blue-fill); color: var(--blue-ink); }
  .said.note { background: var(--yellow-fill); color: var(--yellow-ink); font-size: 1em; }
  .answer { font-size: 1.5em; padding: 14px 20px; }
  .mark { font-size: 2.2em; line-height: 1; min-width: 1.6em; text-align: center; letter-spacing: -0.15em; }
  .answer > .mark + span { flex: 0 1 auto; min-width: 0; max-width: calc(100% - 6em); overflow-wrap: anywhere; }
  .stage { font-weight: 400; font-size: 0.7em; border: 2px solid currentColor; border-radius: var(--radius); padding: 2px 10px; }
  .said:not(.answer) > span:nth-child(2) { flex: 1 1 9em; min-width: 0; overflow-wrap: anywhere; }
  .said button { color: var(--ink); flex: 0 1 auto; max-width: 100%; }
  .soft { color: var(--ink-soft); }
  ol { list-style: none; margin: 0; padding: 0; display: grid; gap: 8px; }
  section { display: grid; gap: 12px; align-content: start; min-width: 0; }
  @media (min-width: 1600px) { :host { font-size: 28px; gap: 20px; padding: 20px; } .main { min-height: 220px; } }
  @media (max-width: 900px) { :host, :host([hand='right']) { grid-template-columns: minmax(0, 1fr); } .main { min-height: 120px; } :host([hand='right']) > .side { order: 3; } .side > .grid { grid-template-columns: repeat(3, minmax(0, 1fr)); } }
  @media (max-width: 600px) {
    .grid, .side > .grid { grid-template-columns: repeat(auto-fill, minmax(150px, 1fr)); }
    .answer { font-size: 1.15em; padding: 12px; } .mark { font-size: 1.6em; min-width: 1.4em; } .answer > .mark + span { max-width: calc(100% - 3.6em); }
  }
`;
