/** Chords as they are named, beside the harmony that the composer of a folder wrote down, and beside what sounds. */
import { notateStage } from '../../../src/notate/notate-stage.ts';
import { className, pitchClassOf } from '../../../src/model/pitch.ts';
import type { ChordSpan, WrittenStage } from '../../../src/model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../src/model/written.ts';
import type { TrueChord } from '../kind.ts';
import type { JudgedKind } from './judge-kind.ts';

export interface WrongChord {
  readonly bar: number;
  readonly truth: string;
  /** What is printed in its time, in order. */
  readonly said: string;
}

export interface ChordsOfKind {
  /** Divisions of time with a symbol in the truth, and of them with the same root (and the same bass) in ours. */
  readonly all: number;
  readonly roots: number;
  readonly basses: number;
  readonly wrong: readonly WrongChord[];
  /** Our chords, and those whose bass sounds nowhere in their time. */
  readonly named: number;
  readonly unsounded: readonly ChordSpan[];
}

const NAME = /^([A-G])([b#]*)/;

function classIn(name: string): number {
  const [, letter = 'C', signs = ''] = NAME.exec(name) ?? [];
  const alter = signs.startsWith('#') ? signs.length : -signs.length;
  return pitchClassOf({ step: letter as 'C', alter });
}

/** Root and bass of a symbol as pitch classes. A six-four over the dominant is C/G here, as in a symbol. */
function groundsOf(symbol: string): { readonly root: number; readonly bass: number } {
  const [, bass = symbol] = /\/([A-G][b#]*)$/.exec(symbol) ?? [];
  return { root: classIn(symbol), bass: classIn(bass) };
}

/** Chords whose symbol names a bass that no pitched part sounds while the chord lasts. */
function unsoundedBasses(written: WrittenStage, isUnpitched: (partId: string) => boolean): readonly ChordSpan[] {
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
  const wrong: WrongChord[] = [];
  for (const chord of truth) {
    const from = chord.start * DIVISIONS_PER_QUARTER;
    const to = from + chord.length * DIVISIONS_PER_QUARTER;
    const wanted = groundsOf(chord.symbol);
    let right = 0;
    const heard = written.chords.filter((ours) => ours.start < to && ours.start + ours.length > from);
    for (const ours of heard) {
      const overlap = Math.min(to, ours.start + ours.length) - Math.max(from, ours.start);
      const own = groundsOf(ours.symbol);
      if (own.root === wanted.root) right += overlap;
      if (own.bass === wanted.bass) basses += overlap;
    }
    all += to - from;
    roots += right;
    if (right < to - from) {
      wrong.push({
        bar: chord.bar,
        truth: chord.symbol,
        said: heard.map((ours) => ours.symbol).join(' ') || 'nothing',
      });
    }
  }
  const unpitched = new Set(stage.parts.filter((part) => part.unpitched).map((part) => part.id));
  return {
    all,
    roots,
    basses,
    wrong,
    named: written.chords.length,
    unsounded: unsoundedBasses(written, (id) => unpitched.has(id)),
  };
}

/** `bar 3 G/D` for a chord that names a bass nobody plays. */
export function unsoundedText(chord: ChordSpan): string {
  return `bar ${String(chord.bar)} ${chord.symbol}, bass ${className(chord.bass)}`;
}
