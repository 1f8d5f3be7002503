import type { Kept } from './outbox-disk.ts';

/** Who sends: what a fact may wait for. */
export interface Sender {
  /** The id by which the server knows this device now. */
  device: string;
  /** The badge of who is signed in at it, null for nobody. */
  signedIn: string | null;
  /** Whether this tab has the PIN that the fact of this id is to be sent with. */
  hasPin(fact: string): boolean;
}

/** Whether the fact is on this device only. */
export function waits(kept: Kept): boolean {
  return kept.refused === null && kept.version === null;
}

/**
 * What a waiting fact wants before it can be sent, null for nothing: its PIN, for it was stated by badge and PIN and no PIN is kept on the disk; its
 * person, for the server wants whoever stated it signed in; its device, for it was stated while the server knew this one by another id.
 */
export function wants(kept: Kept, { device, signedIn, hasPin }: Sender): 'pin' | 'person' | 'device' | null {
  if (kept.fact.device !== device) return 'device';
  if (kept.takesPin === true && !hasPin(kept.fact.id)) return 'pin';
  return kept.waitsFor !== undefined && kept.waitsFor !== signedIn ? 'person' : null;
}

/**
 * The oldest facts that can be sent now, at most `size` of one plant, `plant`'s first. What is sent with a PIN goes by itself and last, so that a server
 * that makes a PIN wait holds no scan up. Empty when nothing can.
 */
export function nextBatch(all: readonly Kept[], plant: string, size: number, sender: Sender): Kept[] {
  const ready = all.filter((kept) => waits(kept) && wants(kept, sender) === null);
  const plain = ready.filter(({ takesPin }) => takesPin !== true);
  const from = plain.length > 0 ? plain : ready;
  const first = (from.find((kept) => kept.plant === plant) ?? from[0])?.plant;
  return from.filter((kept) => kept.plant === first).slice(0, plain.length > 0 ? size : 1);
}
