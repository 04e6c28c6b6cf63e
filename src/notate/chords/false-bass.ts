/**
 * Basses that belong to no chord above them: a semitone over the root of a whole triad of all others, or under that of a seventh chord, alone with its
 * tone and not kept from chord to chord. No style has such a chord (common practice, no source), so the others are named without it, and what the bass
 * does is a matter for the findings.
 */
import type { Frame, TexturedNote } from './chord-frames.ts';
import { lengthOf } from './chord-frames.ts';

/** It lies under the chord for half of a bar and two quarters at least: what is shorter passes. */
const LEAST_SHARE = 0.5;
const LEAST_DIVISIONS = 960;
/** Each tone of the triad sounds for so much of that time. */
const SOUNDS_SHARE = 0.75;
const SOUNDS = 0.25;
/** The root has so many times the notes of the bass. */
const OUTNUMBERED = 1.5;

const MAJOR = [0, 4, 7];
const MINOR = [0, 3, 7];
const SEVENTH = [0, 4, 10];

/** Frames of one bar, one after the other, over one bass. */
interface Stretch {
  readonly bass: number;
  readonly frames: Frame[];
}

function stretchesOf(frames: readonly Frame[]): readonly Stretch[] {
  const stretches: Stretch[] = [];
  for (const frame of frames) {
    const last = stretches.at(-1);
    const isSameBar = last?.frames[0]?.barIndex === frame.barIndex;
    if (last !== undefined && isSameBar && (frame.bass < 0 || frame.bass === last.bass)) last.frames.push(frame);
    else stretches.push({ bass: frame.bass, frames: [frame] });
  }
  return stretches;
}

/** True where the others have a whole chord that this bass cannot lie under. */
function isFalse({ bass, frames }: Stretch, barLength: number): boolean {
  const whole = lengthOf(frames);
  if (bass < 0 || whole < LEAST_DIVISIONS || whole < LEAST_SHARE * barLength) return false;
  const has = (pitchClass: number): boolean =>
    lengthOf(frames.filter(({ raw }) => (raw[pitchClass % 12] ?? 0) >= SOUNDS)) >= SOUNDS_SHARE * whole;
  const weightOf = (pitchClass: number): number =>
    frames.reduce((sum, { raw, length }) => sum + (raw[pitchClass % 12] ?? 0) * length, 0);
  const isChord = (root: number, tones: readonly number[]): boolean =>
    weightOf(root) >= OUTNUMBERED * weightOf(bass) && tones.every((tone) => has(root + tone));
  const [under, over] = [(bass + 11) % 12, (bass + 1) % 12];
  return isChord(under, MAJOR) || isChord(under, MINOR) || isChord(over, SEVENTH);
}

/** The notes without those that are a false bass; the very same list where there is none. `frames` hold all of them. */
export function withoutFalseBasses(frames: readonly Frame[], notes: readonly TexturedNote[]): readonly TexturedNote[] {
  const stretches = stretchesOf(frames);
  const barLengths = new Map<number, number>();
  for (const { barIndex, length } of frames) barLengths.set(barIndex, (barLengths.get(barIndex) ?? 0) + length);
  const lies = new Set(frames.map(({ barIndex, bass }) => `${String(barIndex)} ${String(bass)}`));
  const wrong = stretches.filter((stretch) => {
    const bar = stretch.frames[0]?.barIndex ?? 0;
    // A pedal goes on from chord to chord.
    const isKept = [bar - 1, bar + 1].some((beside) => lies.has(`${String(beside)} ${String(stretch.bass)}`));
    return !isKept && isFalse(stretch, barLengths.get(bar) ?? 0);
  });
  if (wrong.length === 0) return notes;
  return notes.filter(({ midi, start }) =>
    wrong.every(({ bass, frames: own }) => {
      const [first, last] = [own[0]?.start ?? 0, own.at(-1)];
      return midi % 12 !== bass || start < first || start >= (last?.start ?? 0) + (last?.length ?? 0);
    }),
  );
}
