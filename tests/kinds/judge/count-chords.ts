/** Chords as they are named, beside the harmony that the composer of a folder wrote down, and beside what sounds. */
import { Note } from 'tonal';
import { notateStage } from '../../../src/notate/notate-stage.ts';
import { className, pitchClassOf } from '../../../src/model/music/pitch.ts';
import type { ChordSpan, WrittenStage } from '../../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../src/model/music/written.ts';
import type { TrueChord } from '../kind.ts';
import type { JudgedKind } from './judge-kind.ts';

export interface ChordsOfKind {
  /** Divisions of time with a symbol in the truth, and of them with the same root (and the same bass) in ours. */
  readonly all: number;
  readonly roots: number;
  readonly basses: number;
  /** Our chords, and those whose bass sounds nowhere in their time. */
  readonly named: number;
  readonly unsounded: readonly ChordSpan[];
}

/** Root and bass of a symbol as pitch classes. A six-four over the dominant is C/G here, as in a symbol. */
function groundsOf(symbol: string): { readonly root: number; readonly bass: number } {
  const [root = 'C'] = /^[A-G][b#]*/.exec(symbol) ?? [];
  const [, bass = root] = /\/([A-G][b#]*)$/.exec(symbol) ?? [];
  return { root: Note.chroma(root), bass: Note.chroma(bass) };
}

/** Chords whose symbol names a bass that no pitched part sounds while the chord lasts. */
export function unsoundedBasses(
  written: WrittenStage,
  isUnpitched: (partId: string) => boolean = () => false,
): readonly ChordSpan[] {
  const notes = written.parts.filter((part) => !isUnpitched(part.partId)).flatMap((part) => part.notes);
  return written.chords.filter(
    (chord) =>
      !notes.some(
        (note) =>
          note.midi % 12 === pitchClassOf(chord.bass) &&
          note.start < chord.start + chord.length &&
          note.start + note.length > chord.start,
      ),
  );
}

/** The chords of the judged stage, counted by time. Where the folder has no harmony written down `all` is 0. */
export function countChords({ folder, stage }: JudgedKind): ChordsOfKind {
  const written = notateStage(stage);
  const truth: readonly TrueChord[] = folder.truth.chords ?? [];
  let all = 0;
  let roots = 0;
  let basses = 0;
  for (const chord of truth) {
    const from = chord.start * DIVISIONS_PER_QUARTER;
    const to = from + chord.length * DIVISIONS_PER_QUARTER;
    const wanted = groundsOf(chord.symbol);
    for (const ours of written.chords) {
      const overlap = Math.min(to, ours.start + ours.length) - Math.max(from, ours.start);
      if (overlap <= 0) continue;
      const own = groundsOf(ours.symbol);
      if (own.root === wanted.root) roots += overlap;
      if (own.bass === wanted.bass) basses += overlap;
    }
    all += to - from;
  }
  const unpitched = new Set(stage.parts.filter((part) => part.unpitched).map((part) => part.id));
  return {
    all,
    roots,
    basses,
    named: written.chords.length,
    unsounded: unsoundedBasses(written, (id) => unpitched.has(id)),
  };
}

/** `bar 3 G/D` for a chord that names a bass nobody plays. */
export function unsoundedText(chord: ChordSpan): string {
  return `bar ${String(chord.bar)} ${chord.symbol}, bass ${className(chord.bass)}`;
}
