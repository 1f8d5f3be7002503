import { v7 as uuidv7 } from 'uuid';
import { toWire } from '../../server/contract/fact-wire.ts';
import type { FactReply } from '../../server/contract/replies.ts';
import type { Fact, FactKind } from '../../server/core/facts/fact.ts';
import { ApiError, askClock, postFacts } from './api.ts';
import { correctLater, readClock } from './clock.ts';
import { deviceId } from './device-id.ts';
import { fetchMe, knownMe } from './me.ts';
import { nextBatch, type Sender, waits, wants } from './next-batch.ts';
import { type Kept, OutboxDisk } from './outbox-disk.ts';
import { who } from './preferences.ts';
import { inOneTab } from './tab-lock.ts';

/** What a screen says of a fact; the outbox adds what every fact carries. */
export type Own<K extends FactKind> = Omit<Extract<Fact, { kind: K }>, 'kind' | 'id' | 'happened' | 'told' | 'who' | 'device' | 'counter' | 'corrected'>;

/** A fact that the server refused: what it said, and why as `Kept.why`. */
export interface Refused {
  fact: Fact;
  what: string;
  why: string;
}

export interface Unchecked {
  fact: Extract<Fact, { kind: 'overrideGate' }>;
  wantsPin: boolean;
}

const BATCH = 50;
const FIRST_WAIT = 1_000;
const LONGEST_WAIT = 30_000;
/** What the server refuses for want of somebody who is signed in. */
const WANTS_PERSON = ['notSignedIn', 'notPaired'];
const REFUSED_AS_A_WHOLE = [400, 413, 415, 422];
/** What another tab stated, sent or put away is on the disk that both read. */
const CHANNEL = 'stationhand-outbox';

/**
 * What this device states, on its disk first: sent in order, once, and forgotten only when the server has acknowledged it. Two tabs
 * share it: a lock lets one of them send at a time (the server takes a fact sent twice once), and each tells the other what it changed on the disk.
 */
export class Outbox {
  private kept: Kept[] = [];
  private readonly disk = new OutboxDisk();
  private readonly listeners = new Set<() => void>();
  private timer: ReturnType<typeof setTimeout> | undefined;
  private wait = FIRST_WAIT;
  private size = BATCH;
  private running = false;
  private sending = false;
  private askedMeanwhile = false;
  private changes = 0;
  private tabs: BroadcastChannel | null = null;
  /** By the id of a fact, until it was sent. In this tab's memory and nowhere else: what the disk holds can be stolen with the device. */
  private readonly pins = new Map<string, string>();

  constructor(private readonly plant: string) {}

  start(): void {
    this.running = true;
    this.tabs = new BroadcastChannel(CHANNEL);
    this.tabs.addEventListener('message', () => void this.load().catch(() => {}));
    window.addEventListener('online', this.hurry);
    void this.load().catch(() => {}).then(() => this.send());
  }

  stop(): void {
    this.running = false;
    clearTimeout(this.timer);
    window.removeEventListener('online', this.hurry);
    this.tabs?.close();
    this.tabs = null;
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /**
   * States a fact: resolves once it is on the disk, and from then on it is never lost. `at` is the instant a person said, else it happened now.
   * `pin` is sent along where a badge is not enough. Throws `DiskError`: then it was not stated.
   */
  async state<K extends FactKind>(kind: K, own: Own<K>, at: number | null = null, pin: string | null = null): Promise<Fact> {
    const reading = readClock();
    const happened = Math.round(at ?? reading.happened);
    const base = { id: uuidv7({ msecs: reading.happened }), happened, told: at !== null, who: who() || 'nobody', device: deviceId() };
    const corrected = at === null && reading.corrected !== 0 ? { corrected: reading.corrected } : {};
    // An instant that a person said is not the device's to correct.
    const unsure = at === null && reading.unsure !== null ? { unsure: reading.unsure } : {};
    const kept = await this.disk.add((counter) => ({
      counter, plant: this.plant, fact: { ...base, counter, ...corrected, kind, ...own } as unknown as Fact, version: null, refused: null, ...(pin === null ? {} : { takesPin: true }), ...unsure,
    }));
    if (pin !== null) this.pins.set(kept.fact.id, pin);
    this.put([kept]);
    this.hurry();
    return kept.fact;
  }

  /** The PIN of a fact that was stated with one, given again: this tab was opened since. */
  givePin(id: string, pin: string): void {
    this.pins.set(id, pin);
    this.tell();
    this.hurry();
  }

  /** The way to the server is open again: what waits is sent now. */
  readonly hurry = (): void => {
    this.wait = FIRST_WAIT;
    void this.send();
  };

  /** Facts of the plant that the snapshot of `version` does not hold yet, in order, refused ones left out. */
  ownFacts(version: number): Fact[] {
    const isOwn = (kept: Kept): boolean => kept.refused === null && kept.plant === this.plant && (kept.version === null || kept.version > version);
    return this.kept.filter(isOwn).map((kept) => kept.fact);
  }

  /** How many facts of this device are not sent, and since when by the oldest of them. */
  unsent(): { n: number; oldest: number | null } {
    const waiting = this.kept.filter(waits);
    return { n: waiting.length, oldest: waiting.length === 0 ? null : Math.min(...waiting.map(({ fact }) => fact.happened)) };
  }

  refused(): Refused[] {
    return this.kept.flatMap(({ fact, refused, why = '' }) => (refused === null ? [] : [{ fact, what: refused, why }]));
  }

  /** Overrides of gates that the server has not judged yet, and whether their PIN has to be given again. */
  unchecked(): Unchecked[] {
    const sender = this.sender();
    return this.kept.flatMap((kept) => (kept.fact.kind === 'overrideGate' && waits(kept) ? [{ fact: kept.fact, wantsPin: wants(kept, sender) === 'pin' }] : []));
  }

  /** How many facts wait for the wearer of each badge to sign in, and how many for this device to be paired by its earlier id. */
  waiting(): { people: Map<string, number>; device: number } {
    const sender = this.sender();
    const [people, found] = [new Map<string, number>(), this.kept.filter(waits)];
    for (const kept of found) if (wants(kept, sender) === 'person') people.set(kept.waitsFor!, (people.get(kept.waitsFor!) ?? 0) + 1);
    return { people, device: found.filter((kept) => wants(kept, sender) === 'device').length };
  }

  /** What became of the fact: on this device only, in the log, refused. One that is forgotten here is in the log. */
  stage(id: string): 'unsent' | 'sent' | 'refused' {
    const kept = this.kept.find(({ fact }) => fact.id === id);
    if (!kept) return 'sent';
    return kept.refused !== null ? 'refused' : kept.version === null ? 'unsent' : 'sent';
  }

  /** A person has read why it was refused. */
  async dismiss(id: string): Promise<void> {
    await this.forget(this.kept.filter((kept) => kept.fact.id === id && kept.refused !== null));
  }

  /** The snapshot of `version` is on this device's disk: acknowledged facts in it are not needed beside it any more, not after a restart either. */
  forgetKnown(version: number): void {
    const known = this.kept.filter((kept) => kept.plant === this.plant && kept.version !== null && kept.version <= version);
    if (known.length === 0) return;
    // What the disk does not let go of now is read and forgotten again at the next start.
    this.forget(known).catch(() => {});
  }

  private async send(): Promise<void> {
    clearTimeout(this.timer);
    if (!this.running) return;
    this.askedMeanwhile = this.sending;
    if (this.sending) return;
    this.sending = true;
    let again = false;
    try {
      again = (await inOneTab('stationhand-send', () => this.sendBatch(), true)) ?? true;
      this.wait = FIRST_WAIT;
    } catch {
      // No answer, or a disk that does not write just now: nothing is forgotten, so the same is tried again.
      again = true;
      this.wait = Math.min(LONGEST_WAIT, this.wait * 2);
    }
    this.sending = false;
    if (this.askedMeanwhile) void this.send();
    else if (again && this.running) this.timer = setTimeout(() => void this.send(), this.wait);
  }

  /** Sends the oldest unsent facts of a plant, this one's first. Returns whether more are left. */
  private async sendBatch(): Promise<boolean> {
    await this.load();
    const batch = await this.withInstants(nextBatch(this.kept, this.plant, this.size, this.sender()));
    const plant = batch[0]?.plant;
    if (plant === undefined) return false;
    const answer = await this.post(plant, batch);
    if (!answer) return true;
    const { replies, version } = answer;
    const signedIn = replies.some(({ why }) => WANTS_PERSON.includes(why?.error.where ?? '')) ? ((await fetchMe()).person?.badge ?? null) : null;
    const answered = batch.flatMap((kept): Kept[] => {
      const reply = replies.find((candidate) => candidate.id === kept.fact.id);
      return reply ? [asAnswered(kept, reply, version, signedIn)] : [];
    });
    await this.disk.change(answered);
    for (const { fact } of answered) this.pins.delete(fact.id);
    this.put(answered);
    return nextBatch(this.kept, this.plant, this.size, this.sender()).length > 0;
  }

  private sender(): Sender {
    return { device: deviceId(), signedIn: knownMe()?.person?.badge ?? null, hasPin: (fact) => this.pins.has(fact) };
  }

  /**
   * The batch with its instants put right by the server's clock, and that on the disk before anything is sent: a fact that is sent again is the
   * same to the last field.
   */
  private async withInstants(batch: readonly Kept[]): Promise<Kept[]> {
    if (batch.every(({ unsure }) => unsure === undefined)) return [...batch];
    await askClock();
    const righted = await this.disk.rewrite(batch, (kept) => {
      const { unsure, ...rest } = kept;
      if (unsure === undefined) return kept;
      const { corrected: before = 0, ...fact } = kept.fact;
      const reading = correctLater({ happened: fact.happened, corrected: before, unsure });
      if (!reading) throw new Error('The server did not say what its clock shows.');
      const { happened, corrected } = reading;
      return { ...rest, fact: { ...fact, happened, ...(corrected === 0 ? {} : { corrected }) } as Fact };
    });
    this.put(righted);
    return righted;
  }

  /**
   * The answer to a batch. One that the server refuses as a whole is sent again fact by fact, so that a bad one does not keep the
   * others back; a single fact refused as a whole is set aside with what the server said. Null in both cases.
   */
  private async post(plant: string, batch: readonly Kept[]): Promise<Awaited<ReturnType<typeof postFacts>> | null> {
    try {
      const pins = Object.fromEntries(batch.flatMap(({ fact }) => (this.pins.has(fact.id) ? [[fact.id, this.pins.get(fact.id)!]] : [])));
      const answer = await postFacts(plant, batch.map((kept) => toWire(kept.fact)), pins);
      this.size = BATCH;
      return answer;
    } catch (error) {
      if (!(error instanceof ApiError) || !REFUSED_AS_A_WHOLE.includes(error.status)) throw error;
      const [only] = batch;
      this.size = 1;
      if (batch.length > 1 || !only) return null;
      // Something between here and the server may answer in its place: only the server's own word counts.
      if (error.code === 'other') throw error;
      const aside = { ...only, refused: error.what };
      await this.disk.change([aside]);
      this.put([aside]);
      return null;
    }
  }

  private async forget(gone: readonly Kept[]): Promise<void> {
    await this.disk.change([], gone);
    this.kept = this.kept.filter(({ counter }) => !gone.some((one) => one.counter === counter));
    this.changed();
  }

  private put(changed: readonly Kept[]): void {
    this.changes++;
    const rest = this.kept.filter(({ counter }) => !changed.some((one) => one.counter === counter));
    this.kept = [...rest, ...changed].toSorted((a, b) => a.counter - b.counter);
    this.changed();
  }

  private changed(): void {
    this.tabs?.postMessage('changed');
    this.tell();
  }

  private async load(): Promise<void> {
    const before = this.changes;
    const kept = await this.disk.all();
    // What was put in meanwhile may not be in what was read.
    if (this.changes !== before) return this.load();
    this.kept = kept;
    this.tell();
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

/**
 * What became of a fact by the server's answer. One that another person stated, and that the server takes from that person only, waits until they sign
 * in here: who is signed in now cannot know whether it was right. `signedIn`: that one's badge.
 */
function asAnswered(kept: Kept, { outcome, why }: FactReply, version: number, signedIn: string | null): Kept {
  const { waitsFor: _, ...rest } = kept;
  if (outcome !== 'refused') return { ...rest, version, refused: null };
  const { what = outcome, where = '' } = why?.error ?? {};
  if (signedIn !== null && signedIn !== kept.fact.who && WANTS_PERSON.includes(where)) return { ...rest, waitsFor: kept.fact.who };
  return { ...rest, version: null, refused: what, why: where };
}
