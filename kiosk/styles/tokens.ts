import { css } from 'lit';

/**
 * Colours, sizes and type of every screen, as custom properties of the document. The state colours follow IEC 60073:
 * red danger or stopped, yellow abnormal, green normal, blue a person must act, grey no special meaning. `*-fill` is
 * a surface to put `*-ink` on; `*-line` is the same meaning drawn on the page's own ground.
 */
export const tokens = css`
  :root {
    color-scheme: light;
    --ground: #f4f3ef; --surface: #ffffff; --sunken: #e6e4dd;
    --ink: #1a1c1e; --ink-soft: #4d5257; --rule: #a9aba8; --focus: #0a4fa8;
    --red-fill: #a8131a; --red-ink: #ffffff; --red-line: #a3090f;
    --yellow-fill: #ffd21f; --yellow-ink: #201a00; --yellow-line: #7a5c00;
    --green-fill: #136237; --green-ink: #ffffff; --green-line: #136237;
    --blue-fill: #0a4fa8; --blue-ink: #ffffff; --blue-line: #0a4fa8;
    --grey-fill: #d3d4d1; --grey-ink: #1a1c1e; --grey-line: #5a5f63;
  }
  :root[data-theme='dark'] {
    color-scheme: dark;
    --ground: #16181a; --surface: #212427; --sunken: #0d0f10;
    --ink: #f2f1ed; --ink-soft: #bcc0c2; --rule: #5d6367; --focus: #8fc0ff;
    --red-fill: #d8373b; --red-ink: #ffffff; --red-line: #ff8d8a;
    --yellow-fill: #f2c200; --yellow-ink: #201a00; --yellow-line: #ffd75a;
    --green-fill: #228049; --green-ink: #ffffff; --green-line: #74d39b;
    --blue-fill: #2f74d0; --blue-ink: #ffffff; --blue-line: #9cc6ff;
    --grey-fill: #474c50; --grey-ink: #f2f1ed; --grey-line: #b4b9bc;
  }
  :root {
    --font: 'Atkinson Hyperlegible', 'Segoe UI', 'Noto Sans', 'DejaVu Sans', sans-serif;
    --font-figures: var(--font);
    --touch: 76px;
    --gap: 12px; --radius: 6px;
  }
  *, *::before, *::after { box-sizing: border-box; }
  html, body { margin: 0; height: 100%; }
  @page { margin: 11mm; }
  @media print {
    /* Ink on white paper whatever the screen wears: a state is told by its shape and word. */
    :root, :root[data-theme] {
      color-scheme: light;
      --ground: #fff; --surface: #fff; --sunken: #fff; --ink: #000; --ink-soft: #333; --rule: #999; --blue-line: #000;
      --red-fill: #fff; --yellow-fill: #fff; --green-fill: #fff; --blue-fill: #fff; --grey-fill: #fff;
      --red-ink: #000; --yellow-ink: #000; --green-ink: #000; --blue-ink: #000; --grey-ink: #000;
    }
    html, body { height: auto; }
  }
  body { background: var(--ground); color: var(--ink); font: 18px/1.35 var(--font); }
`;

/** What each shadow root starts from: boxes, buttons and fields drawn by the tokens. */
export const base = css`
  *, *::before, *::after { box-sizing: border-box; }
  :host { color: var(--ink); font-family: var(--font); }
  [hidden] { display: none !important; }
  button, input, select { font: inherit; color: inherit; border-radius: var(--radius); }
  button { background: var(--surface); border: 2px solid var(--ink-soft); cursor: pointer; padding: 8px 14px; }
  button:disabled { opacity: 0.55; cursor: default; }
  input, select { background: var(--surface); border: 2px solid var(--ink-soft); padding: 8px 12px; min-width: 0; }
  a { color: var(--blue-line); }
  :focus-visible { outline: 4px solid var(--focus); outline-offset: 2px; }
  @media (prefers-reduced-motion: reduce) { *, *::before, *::after { animation: none !important; transition: none !important; scroll-behavior: auto !important; } }
  .figures { font-variant-numeric: tabular-nums; }
`;

export function installTokens(target: Document): void {
  const sheet = tokens.styleSheet;
  if (sheet) target.adoptedStyleSheets = [...target.adoptedStyleSheets, sheet];
}
