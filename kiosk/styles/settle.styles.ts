import { css } from 'lit';

/** A reason, and at a kiosk a PIN, by which a passed gate is let stand: fields wide enough to read what is typed, however narrow their place. */
export const settleStyles = css`
  .settle { display: grid; gap: 10px; grid-template-columns: repeat(auto-fit, minmax(min(100%, 220px), 1fr)); align-items: end; width: 100%; }
  .settle label { display: grid; gap: 4px; } .settle input { width: 100%; } .settle input, .settle button { min-height: var(--touch); }
  .row { display: flex; flex-wrap: wrap; gap: 6px 18px; align-items: center; }
`;
