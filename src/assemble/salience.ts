/**
 * How much a part sounds like the tune in each bar. The signs are those that annotators of orchestral movements name: highest but
 * no descant, moving but no figuration, going by step, loudest first (M. Gotham's Hauptstimme corpus, its annotation guide);
 * weights are ours. A part that doubles another one or two octaves above is mostly its colour: it counts nearly as if it stood where the
 * other does, and the tune stays with who had it. How often that finds the annotated part: see DEVELOPERS.
 */
import type { PlayedNote } from '../model/arrangement.ts';
import type { Bar } from '../model/timeline.ts';
import { barIndexAt } from '../model/timeline.ts';

/** Places in each bar at which it is asked who is on top. */
const SAMPLES = 8;
/** Of the height of a doubling above, this share is taken off. */
const LOWERED = 0.75;
/** A doubling holds for this share of what sounds, with about as many onsets. */
const DOUBLED_SHARE = 0.75;
const ONSETS_APART = 1 / 3;
/** Onsets closer than this are one. */
const CHORD_QUARTERS = 0.05;

/** Weights: an octave over the mean, all the time on top, two onsets a quarter, all steps small, five different pitches: each about one. */
const HEIGHT = 0.5;
const TOP = 0.5;
const MOVEMENT = 0.5;
const MOST_ONSETS = 2;
const STEPWISE = 1;
const VARIETY = 0.2;
const MOST_PITCHES = 5;
/** 32 steps of velocity over the mean of the bar. */
const STRENGTH_STEPS = 32;
const SOUNDING = 1;
/** Salience of a bar in which a part is silent. */
export const SILENCE = -0.5;

export interface SalientPart {
  readonly notes: readonly PlayedNote[];
}

interface PartBars {
  /** Key number at each sample; 0 where the part is silent. */
  readonly keys: Uint8Array;
  readonly velocity: Float64Array;
  readonly onsets: Float64Array;
  readonly steps: Float64Array;
  readonly intervals: Float64Array;
  /** Number of different pitches that begin. */
  readonly pitches: Uint8Array;
}

/** Only the top of what starts together. */
function topLine(notes: readonly PlayedNote[]): readonly PlayedNote[] {
  const line: PlayedNote[] = [];
  for (const note of notes) {
    const last = line.at(-1);
    if (last === undefined || note.startQuarters - last.startQuarters > CHORD_QUARTERS) line.push(note);
    else if (note.midi > last.midi) line[line.length - 1] = note;
  }
  return line;
}

function fillSamples(keys: Uint8Array, note: PlayedNote, bars: readonly Bar[]): void {
  for (let at = barIndexAt(bars, note.startQuarters); at < bars.length; at++) {
    const bar = bars[at];
    if (bar === undefined || bar.startQuarters >= note.endQuarters) break;
    const place = (quarters: number): number => (SAMPLES * (quarters - bar.startQuarters)) / bar.lengthQuarters - 0.5;
    const from = Math.max(0, Math.ceil(place(note.startQuarters)));
    const to = Math.min(SAMPLES - 1, Math.floor(place(note.endQuarters)));
    for (let sample = from; sample <= to; sample++) keys[at * SAMPLES + sample] = note.midi;
  }
}

function barsOfPart({ notes }: SalientPart, bars: readonly Bar[]): PartBars {
  const size = bars.length;
  const own: PartBars = {
    keys: new Uint8Array(size * SAMPLES),
    velocity: new Float64Array(size),
    onsets: new Float64Array(size),
    steps: new Float64Array(size),
    intervals: new Float64Array(size),
    pitches: new Uint8Array(size),
  };
  let before: PlayedNote | undefined;
  let begun = { at: -1, keys: new Set<number>() };
  for (const note of topLine(notes)) {
    const at = barIndexAt(bars, note.startQuarters);
    fillSamples(own.keys, note, bars);
    own.onsets[at] = (own.onsets[at] ?? 0) + 1;
    own.velocity[at] = (own.velocity[at] ?? 0) + note.velocity;
    if (begun.at !== at) begun = { at, keys: new Set() };
    own.pitches[at] = begun.keys.add(note.midi).size;
    if (before !== undefined) {
      const size = Math.abs(note.midi - before.midi);
      own.intervals[at] = (own.intervals[at] ?? 0) + 1;
      // Thirds and less are steps of a tune, leaps up to an octave half of one; repeated notes are none.
      own.steps[at] = (own.steps[at] ?? 0) + (size === 0 || size > 12 ? 0 : size <= 4 ? 1 : 0.5);
    }
    before = note;
  }
  for (let at = 0; at < size; at++) {
    const onsets = own.onsets[at] ?? 0;
    if (onsets > 0) own.velocity[at] = (own.velocity[at] ?? 0) / onsets;
    else own.velocity[at] = own.velocity[at - 1] ?? 0;
  }
  return own;
}

interface BarSound {
  /** Mean key and mean velocity of what sounds; 0 where nothing does. */
  readonly mean: number;
  readonly velocity: number;
}

/** What sounds in a bar; the highest key at each sample is written into `tops`. */
function soundOfBar(parts: readonly PartBars[], at: number, tops: Uint8Array): BarSound {
  let keySum = 0;
  let count = 0;
  let velocitySum = 0;
  let striking = 0;
  tops.fill(0);
  for (const { keys, onsets, velocity } of parts) {
    for (let sample = 0; sample < SAMPLES; sample++) {
      const key = keys[at * SAMPLES + sample] ?? 0;
      if (key === 0) continue;
      keySum += key;
      count++;
      if (key > (tops[sample] ?? 0)) tops[sample] = key;
    }
    if ((onsets[at] ?? 0) > 0) {
      velocitySum += velocity[at] ?? 0;
      striking++;
    }
  }
  return { mean: keySum / Math.max(1, count), velocity: velocitySum / Math.max(1, striking) };
}

function salienceOf(
  part: PartBars,
  at: number,
  { mean, velocity }: BarSound,
  tops: Uint8Array,
  quarters: number,
  octavesAbove: number,
): number {
  let sounding = 0;
  let onTop = 0;
  let keySum = 0;
  for (let sample = 0; sample < SAMPLES; sample++) {
    const key = part.keys[at * SAMPLES + sample] ?? 0;
    if (key === 0) continue;
    sounding++;
    keySum += key;
    if (key % 12 === (tops[sample] ?? 0) % 12) onTop++;
  }
  if (sounding === 0) return SILENCE;
  const onsets = part.onsets[at] ?? 0;
  const intervals = part.intervals[at] ?? 0;
  return (
    (sounding / SAMPLES) *
    (SOUNDING +
      HEIGHT * ((keySum / sounding - mean) / 12 - LOWERED * octavesAbove) +
      (TOP * onTop) / SAMPLES +
      MOVEMENT * Math.min(MOST_ONSETS, onsets / quarters) +
      (intervals === 0 ? 0 : (STEPWISE * (part.steps[at] ?? 0)) / intervals) +
      VARIETY * Math.min(MOST_PITCHES, part.pitches[at] ?? 0) +
      (velocity === 0 ? 0 : ((part.velocity[at] ?? 0) - velocity) / STRENGTH_STEPS))
  );
}

/** How many octaves above another part it plays the same as that part in a bar: 0, 1 or 2. */
function octavesAboveAnother(parts: readonly PartBars[], own: PartBars, at: number): number {
  const onsets = own.onsets[at] ?? 0;
  if (onsets === 0) return 0;
  let most = 0;
  for (const other of parts) {
    if (other === own || Math.abs(onsets - (other.onsets[at] ?? 0)) > onsets * ONSETS_APART) continue;
    let sounding = 0;
    let octave = 0;
    let twoOctaves = 0;
    for (let sample = at * SAMPLES; sample < (at + 1) * SAMPLES; sample++) {
      const key = own.keys[sample] ?? 0;
      if (key === 0) continue;
      sounding++;
      const below = other.keys[sample] ?? 0;
      if (key - below === 12) octave++;
      else if (key - below === 24) twoOctaves++;
    }
    if (sounding === 0) return 0;
    if (octave >= DOUBLED_SHARE * sounding) most = Math.max(most, 1);
    else if (twoOctaves >= DOUBLED_SHARE * sounding) most = 2;
  }
  return most;
}

/** Salience by part and bar; a silent bar has a little less than nothing. */
export function salienceByBar(parts: readonly SalientPart[], bars: readonly Bar[]): readonly Float64Array[] {
  const measured = parts.map((part) => barsOfPart(part, bars));
  const salience = parts.map(() => new Float64Array(bars.length));
  const tops = new Uint8Array(SAMPLES);
  bars.forEach(({ lengthQuarters }, at) => {
    const sound = soundOfBar(measured, at, tops);
    const striking = measured.filter(({ onsets }) => (onsets[at] ?? 0) > 0);
    measured.forEach((part, index) => {
      const own = salience[index];
      if (own === undefined) return;
      own[at] = salienceOf(part, at, sound, tops, lengthQuarters, octavesAboveAnother(striking, part, at));
    });
  });
  return salience;
}
