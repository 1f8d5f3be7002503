import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { WedgeReader } from '../data/wedge-reader.ts';

/**
 * A hand scanner that types what it reads, anywhere on the page. Keys typed into a field stay the field's, unless they
 * come as fast as only a scanner types: then the field is put back as it was and the scan is taken.
 */
export class ScannerController implements ReactiveController {
  private readonly reader = new WedgeReader();
  private field: { element: HTMLInputElement; before: string } | null = null;

  constructor(host: ReactiveControllerHost, private readonly onScan: (code: string) => void) {
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('keydown', this.onKey, { capture: true });
  }

  hostDisconnected(): void {
    window.removeEventListener('keydown', this.onKey, { capture: true });
  }

  private readonly onKey = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const target = event.composedPath()[0];
    const inField = target instanceof HTMLInputElement ? target : null;
    const started = this.reader.empty(event.timeStamp);
    if (started) this.field = inField ? { element: inField, before: inField.value } : null;
    const scanned = this.reader.key(event.key, event.timeStamp);
    if (scanned === null) {
      // Else a space within a code would press the button that has the focus.
      if (event.key === ' ' && !started && !inField) event.preventDefault();
      return;
    }
    event.preventDefault();
    event.stopImmediatePropagation();
    if (this.field) {
      this.field.element.value = this.field.before;
      this.field.element.dispatchEvent(new InputEvent('input', { bubbles: true, composed: true }));
    }
    this.onScan(scanned);
  };
}
