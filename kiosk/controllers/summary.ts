import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { ShiftSummaryReply } from '../../server/contract/shift-summary.ts';
import { ApiError, fetchSummary } from '../data/api.ts';

/** What is asked for; '' as date and shift stands for the shift now, or between shifts the last one. */
export interface SummaryAsked {
  plant: string;
  line: string;
  date: string;
  shift: string;
}

const EVERY_MS = 60_000;
/** After a change on the floor the page is told anew, no oftener than this. */
const LEAST_MS = 20_000;

/** The shift summary as the server told it last; fetched anew each minute, when something else is asked for, and some seconds after a change. */
export class SummaryController implements ReactiveController {
  reply: ShiftSummaryReply | null = null;
  /** Why the server did not tell it; null after an answer. */
  trouble: ApiError | null = null;
  private asked: SummaryAsked | null = null;
  private timer: ReturnType<typeof setInterval> | undefined;
  private soon: ReturnType<typeof setTimeout> | undefined;
  private fetched = Number.NEGATIVE_INFINITY;
  private turn = 0;

  constructor(private readonly host: ReactiveControllerHost) {
    host.addController(this);
  }

  hostConnected(): void {
    this.timer = setInterval(() => void this.refresh(), EVERY_MS);
  }

  hostDisconnected(): void {
    clearInterval(this.timer);
    clearTimeout(this.soon);
  }

  /** Asks for another page than before; the old one stays until the new one came. */
  ask(asked: SummaryAsked): void {
    if (JSON.stringify(asked) === JSON.stringify(this.asked)) return;
    this.asked = asked;
    void this.refresh();
  }

  /** The plant's log has come to `version`. */
  moved(version: number): void {
    if (this.reply === null || version <= this.reply.version || this.soon !== undefined) return;
    this.soon = setTimeout(() => void this.refresh(), Math.max(0, this.fetched + LEAST_MS - performance.now()));
  }

  async refresh(): Promise<void> {
    const { asked } = this;
    if (!asked) return;
    clearTimeout(this.soon);
    this.soon = undefined;
    this.fetched = performance.now();
    const turn = ++this.turn;
    try {
      const reply = await fetchSummary(asked.plant, asked.line, asked.date, asked.shift);
      if (turn !== this.turn) return;
      this.reply = reply;
      this.trouble = null;
    } catch (error) {
      if (turn !== this.turn) return;
      this.trouble = error instanceof ApiError ? error : new ApiError(0, 'other', String(error), '');
    }
    this.host.requestUpdate();
  }
}
