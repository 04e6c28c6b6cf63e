/** Where a line stands among the others, bar by bar: who is on top, who is lowest. */
import type { Bar } from '../../model/music/timeline.ts';
import type { LineNote } from './line.ts';

/** Places in each bar at which it is asked who is on top. */
const SAMPLES = 8;
/** A doubling holds for this share of what sounds, with about as many onsets. */
const DOUBLED_SHARE = 0.75;
const ONSETS_APART = 1 / 3;
/** 32 steps of velocity over the mean of the bar count one. */
const STRENGTH_STEPS = 32;
/** More than a good dynamic grade over the others says no more: who is far too loud does not lead for it. */
const STRENGTH_MOST = 0.8;

export interface TextureSigns {
  /** Share of the bar in which the part sounds. */
  readonly sounding: Float64Array;
  /** Octaves over the mean of what sounds. */
  readonly height: Float64Array;
  /** Share of its time in which its pitch class is that of the highest sounding note. */
  readonly top: Float64Array;
  /** Share of its time in which nothing sounds under it, with others sounding. */
  readonly lowest: Float64Array;
  readonly strength: Float64Array;
  /** How many octaves above another part it plays the same: 0, 1 or 2. */
  readonly octavesAbove: Float64Array;
}

interface Sampled {
  readonly keys: Uint8Array;
  readonly velocity: Float64Array;
  readonly onsets: Uint16Array;
}

function sampled(line: readonly LineNote[], bars: readonly Bar[]): Sampled {
  const keys = new Uint8Array(bars.length * SAMPLES);
  const velocity = new Float64Array(bars.length);
  const onsets = new Uint16Array(bars.length);
  for (const note of line) {
    const { startQuarters, endQuarters } = note;
    for (let at = note.bar; at < bars.length; at++) {
      const bar = bars[at];
      if (bar === undefined || bar.startQuarters >= endQuarters) break;
      const place = (quarters: number): number => (SAMPLES * (quarters - bar.startQuarters)) / bar.lengthQuarters - 0.5;
      const from = Math.max(0, Math.ceil(place(startQuarters)));
      const to = Math.min(SAMPLES - 1, Math.floor(place(endQuarters)));
      keys.fill(note.midi, at * SAMPLES + from, at * SAMPLES + to + 1);
    }
    onsets[note.bar] = (onsets[note.bar] ?? 0) + 1;
    velocity[note.bar] = (velocity[note.bar] ?? 0) + note.velocity;
  }
  for (let at = 0; at < bars.length; at++) {
    const count = onsets[at] ?? 0;
    velocity[at] = count > 0 ? (velocity[at] ?? 0) / count : (velocity[at - 1] ?? 0);
  }
  return { keys, velocity, onsets };
}

/** How many octaves above another part it plays the same as that part in a bar. */
function octavesAbove(own: Sampled, others: readonly Sampled[], at: number): number {
  const onsets = own.onsets[at] ?? 0;
  if (onsets === 0) return 0;
  let most = 0;
  for (const other of others) {
    const theirs = other.onsets[at] ?? 0;
    if (other === own || theirs === 0 || Math.abs(onsets - theirs) > onsets * ONSETS_APART) continue;
    const counts = [0, 0, 0];
    let sounding = 0;
    for (let sample = at * SAMPLES; sample < (at + 1) * SAMPLES; sample++) {
      const key = own.keys[sample] ?? 0;
      if (key === 0) continue;
      sounding++;
      const apart = (key - (other.keys[sample] ?? 0)) / 12;
      if (apart === 1 || apart === 2) counts[apart] = (counts[apart] ?? 0) + 1;
    }
    if ((counts[2] ?? 0) >= DOUBLED_SHARE * sounding) return 2;
    if ((counts[1] ?? 0) >= DOUBLED_SHARE * sounding) most = 1;
  }
  return most;
}

/** Signs of every line, by bar. */
export function textureSigns(lines: readonly (readonly LineNote[])[], bars: readonly Bar[]): readonly TextureSigns[] {
  const all = lines.map((line) => sampled(line, bars));
  const empty = (): Float64Array => new Float64Array(bars.length);
  const signs = lines.map(() => ({
    sounding: empty(),
    height: empty(),
    top: empty(),
    lowest: empty(),
    strength: empty(),
    octavesAbove: empty(),
  }));
  const tops = new Uint8Array(SAMPLES);
  const lows = new Uint8Array(SAMPLES);
  const counts = new Uint8Array(SAMPLES);
  for (let at = 0; at < bars.length; at++) {
    tops.fill(0);
    lows.fill(255);
    counts.fill(0);
    let keySum = 0;
    let keyCount = 0;
    let velocitySum = 0;
    let striking = 0;
    for (const { keys, velocity, onsets } of all) {
      for (let sample = 0; sample < SAMPLES; sample++) {
        const key = keys[at * SAMPLES + sample] ?? 0;
        if (key === 0) continue;
        keySum += key;
        keyCount++;
        counts[sample] = (counts[sample] ?? 0) + 1;
        tops[sample] = Math.max(tops[sample] ?? 0, key);
        lows[sample] = Math.min(lows[sample] ?? 255, key);
      }
      if ((onsets[at] ?? 0) === 0) continue;
      velocitySum += velocity[at] ?? 0;
      striking++;
    }
    const beginning = all.filter(({ onsets }) => (onsets[at] ?? 0) > 0);
    for (const [index, own] of all.entries()) {
      const into = signs[index];
      if (into === undefined) continue;
      let sounding = 0;
      let sum = 0;
      let top = 0;
      let low = 0;
      for (let sample = 0; sample < SAMPLES; sample++) {
        const key = own.keys[at * SAMPLES + sample] ?? 0;
        if (key === 0) continue;
        sounding++;
        sum += key;
        if (key % 12 === (tops[sample] ?? 0) % 12) top++;
        if (key === lows[sample] && (counts[sample] ?? 0) > 1) low++;
      }
      into.sounding[at] = sounding / SAMPLES;
      if (sounding === 0) continue;
      into.height[at] = (sum / sounding - keySum / Math.max(1, keyCount)) / 12;
      into.top[at] = top / sounding;
      into.lowest[at] = low / sounding;
      into.strength[at] =
        striking === 0
          ? 0
          : Math.min(STRENGTH_MOST, ((own.velocity[at] ?? 0) - velocitySum / striking) / STRENGTH_STEPS);
      into.octavesAbove[at] = octavesAbove(own, beginning, at);
    }
  }
  return signs;
}
