import { sounds } from './preferences.ts';

/** Frequency in hertz, beginning and length in seconds. */
type Tone = [hertz: number, from: number, length: number];

/** High and short: heard. Rising: done. Low and twice: wrong. Told apart by rhythm too, in a loud hall. */
const SOUNDS: Record<'heard' | 'done' | 'wrong', Tone[]> = {
  heard: [[1_050, 0, 0.09]],
  done: [[1_050, 0, 0.07], [1_400, 0.09, 0.12]],
  wrong: [[220, 0, 0.22], [220, 0.3, 0.22]],
};
const LOUD = 0.5;
const EDGE = 0.008;

let context: AudioContext | null = null;

/** Sounds on this device, unless it is to be quiet; browsers allow it once a person has touched or typed anything. */
export function sound(name: keyof typeof SOUNDS): void {
  if (!sounds() || typeof AudioContext === 'undefined') return;
  context ??= new AudioContext();
  void context.resume().catch(() => {});
  for (const [hertz, from, length] of SOUNDS[name]) {
    const [tone, volume] = [context.createOscillator(), context.createGain()];
    const [start, end] = [context.currentTime + from, context.currentTime + from + length];
    tone.type = name === 'wrong' ? 'square' : 'sine';
    tone.frequency.value = hertz;
    volume.gain.setValueAtTime(0, start);
    volume.gain.linearRampToValueAtTime(LOUD, start + EDGE);
    volume.gain.setValueAtTime(LOUD, end - EDGE);
    volume.gain.linearRampToValueAtTime(0, end);
    tone.connect(volume).connect(context.destination);
    tone.start(start);
    tone.stop(end);
  }
}
