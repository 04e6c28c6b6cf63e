/**
 * Frames of half a beat, their score against the chord templates, and the cheapest path through them (Viterbi with a price on change).
 */
import { pitchClassOf } from '../model/pitch.ts';
import type { KeySpan } from '../model/written.ts';
import type { Template } from './chord-templates.ts';
import { TEMPLATES } from './chord-templates.ts';
import type { SoundingNote } from './key-path.ts';
import { keyAtBar } from './key.ts';
import type { ScoreTime } from './score-time.ts';

const ABSENT = 0.7;
const ROOT_IN_BASS = 0.3;
const BASS_IN_CHORD = 0.12;
const IN_KEY = 0.15;
const CHANGE = 2.5;
const CHANGE_AT_BAR = 0.75;
const CHANGE_OFF_BEAT = 1.3;
const MOST_FRAME_WEIGHT = 3;
const MOST_CLASS_WEIGHT = 1.5;

export interface Frame {
  readonly start: number;
  readonly length: number;
  readonly barIndex: number;
  /** Price of a change here, relative. */
  readonly change: number;
  /** Sounding weight by pitch class: notes times share of the frame. */
  readonly raw: number[];
  weights: readonly number[];
  bass: number;
  bassMidi: number;
}

export function framesOf(time: ScoreTime): Frame[] {
  return time.bars.flatMap((bar) =>
    bar.cells.flatMap((cell) => {
      const pieces = cell.length === 480 ? 2 : cell.length === 720 ? 3 : 1;
      return Array.from({ length: pieces }, (_, piece): Frame => {
        const length = cell.length / pieces;
        const start = cell.start + piece * length;
        const change = start === bar.start ? CHANGE_AT_BAR : piece === 0 ? 1 : CHANGE_OFF_BEAT;
        const raw = Array.from({ length: 12 }, () => 0);
        return { start, length, barIndex: bar.index, change, raw, weights: [], bass: -1, bassMidi: 999 };
      });
    }),
  );
}

function frameIndexAt(frames: readonly Frame[], division: number): number {
  let low = 0;
  let high = frames.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((frames[middle]?.start ?? 0) <= division) low = middle;
    else high = middle - 1;
  }
  return low;
}

export function fill(frames: readonly Frame[], notes: readonly SoundingNote[]): void {
  for (const note of notes) {
    for (let index = frameIndexAt(frames, note.start); index < frames.length; index++) {
      const frame = frames[index];
      if (frame === undefined || frame.start >= note.end) break;
      const overlap = Math.min(note.end, frame.start + frame.length) - Math.max(note.start, frame.start);
      if (overlap <= 0) continue;
      const pitchClass = note.midi % 12;
      frame.raw[pitchClass] = (frame.raw[pitchClass] ?? 0) + overlap / frame.length;
      if (note.midi < frame.bassMidi && overlap >= frame.length / 4) {
        frame.bassMidi = note.midi;
        frame.bass = pitchClass;
      }
    }
  }
  for (const frame of frames) {
    const capped = frame.raw.map((weight) => Math.min(MOST_CLASS_WEIGHT, weight));
    const whole = capped.reduce((sum, weight) => sum + weight, 0);
    frame.weights = whole > MOST_FRAME_WEIGHT ? capped.map((weight) => (weight * MOST_FRAME_WEIGHT) / whole) : capped;
  }
}

function scaleOf(key: KeySpan | undefined): readonly number[] {
  if (key === undefined) return Array.from({ length: 12 }, () => 1);
  const tonic = pitchClassOf(key.tonic);
  const degrees = key.mode === 'major' ? [0, 2, 4, 5, 7, 9, 11] : [0, 2, 3, 5, 7, 8, 10, 11];
  return Array.from({ length: 12 }, (_, pitchClass) => (degrees.includes((pitchClass - tonic + 12) % 12) ? 1 : 0));
}

function frameScore(frame: Frame, template: Template, diatonic: boolean): number {
  let score = diatonic ? IN_KEY : 0;
  let inside = 0;
  for (let pitchClass = 0; pitchClass < 12; pitchClass++) {
    const weight = frame.weights[pitchClass] ?? 0;
    if (template.members[pitchClass] === 1) {
      inside += weight;
      if (weight === 0) score -= ABSENT;
    } else score -= weight;
  }
  if (frame.bass === template.root) score += ROOT_IN_BASS;
  else if (frame.bass >= 0 && template.members[frame.bass] === 1) score += BASS_IN_CHORD;
  return score + inside - template.quality.cost;
}

/** Best template by frame; -1 where the frame is silent. */
export function templatePath(frames: readonly Frame[], keys: readonly KeySpan[], time: ScoreTime): number[] {
  let scores: number[] = TEMPLATES.map(() => 0);
  const back: Int16Array[] = [];
  const silent: boolean[] = [];
  let scaleKey: KeySpan | undefined;
  let diatonic: boolean[] = TEMPLATES.map(() => true);
  let known = false;
  for (const frame of frames) {
    const key = keyAtBar(keys, time.bars[frame.barIndex]?.number ?? 1);
    if (!known || key !== scaleKey) {
      const scale = scaleOf(key);
      diatonic = TEMPLATES.map((template) =>
        template.members.every((member, index) => member === 0 || scale[index] === 1),
      );
      scaleKey = key;
      known = true;
    }
    const pointers = new Int16Array(TEMPLATES.length);
    let best = 0;
    for (let index = 1; index < scores.length; index++) if ((scores[index] ?? 0) > (scores[best] ?? 0)) best = index;
    const isSilent = frame.weights.every((weight) => weight === 0);
    silent.push(isSilent);
    const jump = (scores[best] ?? 0) - CHANGE * frame.change;
    scores = scores.map((score, index) => {
      const stays = score >= jump;
      pointers[index] = stays ? index : best;
      const emission = isSilent
        ? 0
        : frameScore(frame, TEMPLATES[index] ?? (TEMPLATES[0] as Template), diatonic[index] === true);
      return (stays ? score : jump) + emission;
    });
    back.push(pointers);
  }
  let state = scores.indexOf(Math.max(...scores));
  const path: number[] = [];
  for (let index = frames.length - 1; index >= 0; index--) {
    path.push(silent[index] === true ? -1 : state);
    state = back[index]?.[state] ?? state;
  }
  return path.reverse();
}
