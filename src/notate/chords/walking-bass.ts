/**
 * Harmony over a bass player who walks: the first note of a half bar is its ground, what follows leads to the next one and says little about
 * the chord (common practice of jazz, no source).
 */
import type { Frame, TexturedNote } from './chord-frames.ts';

/** The beginning of a bar or of its half; see `strengthAt`. */
const STRONG = 1;
/** How much of a note on the way counts against a chord that it does not belong to, and how much the ground counts for its chord after it has ended. */
const ON_THE_WAY = 0.3;
const GROUND = 0.5;
/** How much the ground of the second half of a bar says beside that of the first. */
const MID_BAR = 0.35;
/** A note this late after the strong beat still is the ground, in divisions. */
const LATE = 120;

function groundAt(notes: readonly TexturedNote[], start: number): TexturedNote | undefined {
  const sounding = notes.filter((note) => note.start <= start + LATE && note.end > start + LATE);
  return sounding.sort((a, b) => a.midi - b.midi)[0];
}

/** Gives each frame the ground of its half bar as bass, and takes what walks there out of the evidence. Changes the frames. */
export function standOnGround(frames: readonly Frame[], notes: readonly TexturedNote[]): void {
  const walk = notes.filter(({ isBass }) => isBass);
  if (walk.length === 0) return;
  let from = 0;
  let ground: TexturedNote | undefined;
  let first: TexturedNote | undefined;
  for (const frame of frames) {
    while (from < walk.length && (walk[from]?.end ?? 0) <= frame.start) from++;
    const near: TexturedNote[] = [];
    for (let index = from; index < walk.length && (walk[index]?.start ?? 0) < frame.start + frame.length; index++) {
      const note = walk[index];
      if (note !== undefined && note.end > frame.start) near.push(note);
    }
    if (frame.strength <= STRONG) ground = groundAt(near, frame.start);
    if (frame.strength === 0) first = ground;
    if (ground === undefined) continue;
    if (ground !== first) frame.bassWeight = MID_BAR;
    if (first !== undefined) frame.inside[first.midi % 12] = Math.max(frame.inside[first.midi % 12] ?? 0, GROUND);
    const own = ground.midi % 12;
    for (const note of near) {
      const pitchClass = note.midi % 12;
      if (note !== ground && pitchClass !== own)
        frame.outside[pitchClass] = (frame.outside[pitchClass] ?? 0) * ON_THE_WAY;
    }
    frame.inside[own] = Math.max(frame.inside[own] ?? 0, GROUND);
    frame.bass = own;
    frame.bassMidi = ground.midi;
    frame.bassStart = ground.start;
  }
}
