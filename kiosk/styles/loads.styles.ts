import { css } from 'lit';

/** The Loads screen: a card for each truck that is to come, as many beside each other as fit. */
export const loadsStyles = css`
  :host { display: block; padding: 12px; }
  .top { display: flex; flex-wrap: wrap; gap: 12px; align-items: end; margin-bottom: 12px; }
  .top h1 { flex: 1; margin: 0; font-size: 1.35em; }
  .cards { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 25em), 1fr)); gap: 12px; align-items: start; }
  .card { background: var(--surface); border: 1px solid var(--rule); border-radius: var(--radius); padding: 12px; min-width: 0; overflow-wrap: anywhere; }
  .card header { display: flex; flex-wrap: wrap; gap: 8px; justify-content: space-between; align-items: center; }
  h2 { font-size: 1.15em; margin: 26px 0 8px; } h3 { margin: 0; font-size: 1.3em; } h3 span { font-weight: 400; }
  p { margin: 4px 0; } .when { font-size: 1.15em; font-weight: 700; }
  .risk { display: block; }
  .soft { color: var(--ink-soft); }
  .next { display: flex; flex-wrap: wrap; gap: 8px; margin: 10px 0 4px; }
  .next button { flex: 1 1 auto; min-height: 56px; }
  button.main { flex: 2 1 10em; font-weight: 700; background: var(--blue-fill); color: var(--blue-ink); border-color: var(--blue-fill); }
  ul { list-style: none; padding: 0; margin: 8px 0 0; }
  li { display: flex; flex-wrap: wrap; gap: 4px 14px; align-items: center; border-top: 1px solid var(--rule); padding: 6px 0; }
  li .unit { flex: 1 1 11em; } li button { min-height: 44px; } small { display: block; color: var(--ink-soft); font-size: 0.9em; }
  .gone { flex: 1; } .gone summary { display: flex; flex-wrap: wrap; gap: 2px 16px; color: inherit; } .gone ul { margin: 0 0 0 16px; } .gone summary::before { content: '▸'; color: var(--blue-line); } .gone[open] > summary::before { content: '▾'; }
  summary { min-height: 44px; display: inline-flex; align-items: center; cursor: pointer; color: var(--blue-line); }
  .form, .back form { display: flex; flex-wrap: wrap; gap: 10px; align-items: end; } label { display: grid; gap: 4px; min-width: 0; } input, select { max-width: 100%; min-height: 44px; }
  .choose { max-height: 26em; overflow-y: auto; border: 1px solid var(--rule); border-radius: var(--radius); padding: 0 10px; background: var(--surface); }
  .choose label { display: flex; gap: 12px; align-items: center; width: 100%; min-height: 44px; } .choose input { width: 26px; height: 26px; min-height: 0; flex: none; }
  .choose li { padding: 0; } .choose .unit { flex: 1 1 12em; }
  .said { display: flex; gap: 10px; align-items: center; padding: 8px 12px; border-radius: var(--radius); margin-bottom: 8px; }
  .said.good { background: var(--green-fill); color: var(--green-ink); } .said.wrong { background: var(--red-fill); color: var(--red-ink); }
  .said.act { background: var(--blue-fill); color: var(--blue-ink); } .said.note { background: var(--yellow-fill); color: var(--yellow-ink); } .said button { color: var(--ink); }
  @media (min-width: 1800px) { :host { font-size: 22px; } }
  @media print { button, details, .form, .choose, .top { display: none; } .cards { display: block; } .card { break-inside: avoid; margin-bottom: 8px; } }
`;
