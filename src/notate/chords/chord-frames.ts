/**
 * Slices of half a beat with what sounds in them: the evidence that the search for chords weighs. Broken chords ring on in the ear, and
 * notes that move on by step count less against a chord (D. Temperley, The Cognition of Basic Musical Structures, 2001, chapter 6: the
 * ornamental dissonance rule).
 */
import type { ScoreTime } from '../score-time/score-time.ts';
import { strengthAt } from '../score-time/score-time.ts';
import { lastAtOrBefore } from '../../model/sorted-search.ts';

/** Of one pitch class, and of all, no more counts than this many notes: forty parts say no more than four. */
export const MOST_CLASS_WEIGHT = 1.5;
const MOST_FRAME_WEIGHT = 3;
/** Less than this share of a frame is the tail of a note, not its bass. */
const LASTING = 0.25;

/** A note for chord finding, in divisions. */
export interface TexturedNote {
  readonly midi: number;
  readonly start: number;
  /** Where it stops sounding, pedal included. */
  readonly end: number;
  /** Its part goes on to a neighbouring pitch (at most a whole tone away), and came from one. */
  readonly leavesByStep: boolean;
  readonly comesByStep: boolean;
  /** Where it is forgotten: a tone left by leap is remembered for a while as part of a broken chord. */
  readonly heardUntil: number;
  /** Notes of one part have the same number. */
  readonly voice: number;
  /** Of a bass player. */
  readonly isBass: boolean;
  /** Of timpani: no bass, and no part of a chord that has one. */
  readonly isDrum: boolean;
}

export interface Frame {
  readonly start: number;
  readonly length: number;
  readonly barIndex: number;
  /** Metrical strength of its start, 0 the bar line; see `strengthAt`. */
  readonly strength: number;
  /** Sounding weight by pitch class: notes times share of the frame, without memory and without limits. */
  readonly raw: Float64Array;
  /** Weight by pitch class as part of a chord, and against a chord it does not belong to. */
  readonly inside: Float64Array;
  readonly outside: Float64Array;
  /** Lowest pitch class, remembered broken chords included; -1 in silence. */
  bass: number;
  bassMidi: number;
  /** Where the note that is its bass was struck, in divisions; it may be heard no more, only remembered. */
  bassStart: number;
  /** How much its bass says, 0..1. */
  bassWeight: number;
  /** Lowest pitch that sounds, for at least a quarter of the frame where one does; 999 in silence. */
  lowestMidi: number;
  /** For how much of the frame it sounds. */
  lowestShare: number;
  /** True where notes begin. */
  onset: boolean;
  /** How many different pitch classes sound at a time on average: about 1 is a single line. */
  layers: number;
}

/** How much counts of a note for a chord that holds it and against one that does not: on its way by step, on the beat and resolved by step, remembered. */
const FRAME_WEIGHTS = {
  passingInside: 0.9,
  passing: 0.35,
  accentedInside: 0.9,
  accented: 0.55,
  memory: 0.45,
  memoryOutside: 0.22,
} as const;

export function framesOf(time: ScoreTime): Frame[] {
  return time.bars.flatMap((bar) =>
    bar.cells.flatMap((cell) => {
      const pieces = cell.length === 480 ? 2 : cell.length === 720 ? 3 : 1;
      return Array.from({ length: pieces }, (_, piece): Frame => {
        const length = cell.length / pieces;
        const start = cell.start + piece * length;
        return {
          start,
          length,
          barIndex: bar.index,
          strength: strengthAt(bar, start - bar.start),
          raw: new Float64Array(12),
          inside: new Float64Array(12),
          outside: new Float64Array(12),
          bass: -1,
          bassMidi: 999,
          bassStart: 0,
          bassWeight: 1,
          lowestMidi: 999,
          lowestShare: 0,
          onset: false,
          layers: 0,
        };
      });
    }),
  );
}

function frameIndexAt(frames: readonly Frame[], division: number): number {
  return lastAtOrBefore(frames, division, ({ start }) => start);
}

function add(weights: Float64Array, pitchClass: number, weight: number): void {
  weights[pitchClass] = (weights[pitchClass] ?? 0) + weight;
}

/** How much of a note counts against a chord that does not hold it, and for one that does. */
function sharesOf(note: TexturedNote, isWeak: boolean): { readonly inside: number; readonly outside: number } {
  if (!note.leavesByStep) return { inside: 1, outside: 1 };
  if (isWeak && note.comesByStep) return { inside: FRAME_WEIGHTS.passingInside, outside: FRAME_WEIGHTS.passing };
  return { inside: FRAME_WEIGHTS.accentedInside, outside: FRAME_WEIGHTS.accented };
}

function limited(weights: Float64Array): void {
  let whole = 0;
  for (let index = 0; index < 12; index++) {
    const weight = Math.min(MOST_CLASS_WEIGHT, weights[index] ?? 0);
    weights[index] = weight;
    whole += weight;
  }
  if (whole > MOST_FRAME_WEIGHT)
    for (let index = 0; index < 12; index++) weights[index] = ((weights[index] ?? 0) * MOST_FRAME_WEIGHT) / whole;
}

/** A note that hardly sounds in the frame (the tail of the one before) gives way to any that does. */
function lowerTo(frame: Frame, midi: number, share: number): void {
  const isTail = share < LASTING;
  const wasTail = frame.lowestShare < LASTING;
  if (frame.lowestMidi < 999 && (isTail !== wasTail ? isTail : midi > frame.lowestMidi)) return;
  frame.lowestMidi = midi;
  frame.lowestShare = share;
}

/** Whoever sounds so many semitones above timpani at most, or below them, is a bass beside them. Our convention. */
const BASS_ABOVE_DRUM = 12;

/**
 * Puts the notes into the frames. Timpani have the few tones that they are tuned to, whatever the chord is: where a bass sounds beside them, what they
 * strike is neither the bass nor evidence (common practice, no source).
 */
export function fill(frames: readonly Frame[], notes: readonly TexturedNote[]): void {
  const beginnings = new Set<string>();
  const drumsLast = notes.some(({ isDrum }) => isDrum)
    ? [...notes.filter(({ isDrum }) => !isDrum), ...notes.filter(({ isDrum }) => isDrum)]
    : notes;
  for (const note of drumsLast) {
    // The same pitch class struck together is one line, however many parts and octaves it is in.
    const beginning = `${String(note.start)}:${String(note.midi % 12)}`;
    const isFirst = !beginnings.has(beginning);
    beginnings.add(beginning);
    const first = frameIndexAt(frames, note.start);
    const pitchClass = note.midi % 12;
    const own = frames[first];
    if (own !== undefined) own.onset = true;
    const isWeak = own === undefined || own.strength > 1 || note.start > own.start;
    const shares = sharesOf(note, isWeak);
    for (let index = first; index < frames.length; index++) {
      const frame = frames[index];
      if (frame === undefined || frame.start >= Math.max(note.end, note.heardUntil)) break;
      if (note.isDrum && frame.lowestMidi <= note.midi + BASS_ABOVE_DRUM) continue;
      const end = frame.start + frame.length;
      const overlap = Math.max(0, Math.min(note.end, end) - Math.max(note.start, frame.start)) / frame.length;
      const echo =
        Math.max(0, Math.min(note.heardUntil, end) - Math.max(note.start, frame.start)) / frame.length - overlap;
      if (overlap > 0) {
        add(frame.raw, pitchClass, overlap);
        add(frame.inside, pitchClass, overlap * shares.inside);
        add(frame.outside, pitchClass, overlap * shares.outside);
        if (isFirst) frame.layers += overlap;
      }
      if (echo > 0) {
        add(frame.inside, pitchClass, echo * FRAME_WEIGHTS.memory);
        add(frame.outside, pitchClass, echo * FRAME_WEIGHTS.memoryOutside);
      }
      if (overlap > 0) lowerTo(frame, note.midi, overlap);
      if (note.midi < frame.bassMidi && (overlap >= LASTING || (overlap <= 0 && echo > LASTING))) {
        frame.bassMidi = note.midi;
        frame.bass = pitchClass;
        frame.bassStart = note.start;
      }
    }
  }
  for (const frame of frames) {
    limited(frame.inside);
    limited(frame.outside);
  }
}

/** Divisions of some frames. */
export function lengthOf(frames: readonly Pick<Frame, 'length'>[]): number {
  return frames.reduce((sum, frame) => sum + frame.length, 0);
}

/** How long a pitch class sounds in some frames, in divisions; doubling counts up to a half more. */
export function soundOf(pitchClass: number, frames: readonly Frame[]): number {
  return frames.reduce((sum, { raw, length }) => sum + Math.min(MOST_CLASS_WEIGHT, raw[pitchClass] ?? 0) * length, 0);
}
