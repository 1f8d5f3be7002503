import { css } from 'lit';

/** A notice that stays until a person has read it. */
export const noticeStyles = css`
  .said { display: flex; flex-wrap: wrap; gap: 8px 12px; align-items: center; padding: 10px 14px; margin-bottom: 8px; border-radius: var(--radius); font-weight: 700; background: var(--red-fill); color: var(--red-ink); }
  .said.good { background: var(--green-fill); color: var(--green-ink); }
  .said.act { background: var(--blue-fill); color: var(--blue-ink); }
  .said.note { background: var(--yellow-fill); color: var(--yellow-ink); }
  .said > span:nth-child(2) { flex: 1 1 9em; min-width: 0; overflow-wrap: anywhere; }
  .said button { min-height: 48px; color: var(--ink); background: var(--surface); }
`;
