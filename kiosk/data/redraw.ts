/** Draws every element below `root` anew: words are read when an element draws, and what is open and said stays. */
export function redrawAll(root: ParentNode): void {
  for (const element of root.querySelectorAll<HTMLElement & { requestUpdate?: () => void }>('*')) {
    element.requestUpdate?.();
    if (element.shadowRoot) redrawAll(element.shadowRoot);
  }
}
