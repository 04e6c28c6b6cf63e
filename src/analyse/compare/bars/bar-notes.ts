/** Notes by the bar in which they begin, so that bars can be compared wherever they stand. */
import type { Part } from '../../../model/music/arrangement.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { onceEach } from '../../../model/once-each.ts';
import { addKey, WORDS } from './key-sets.ts';

/** A note of either stage; its bar, start and pitch may be those that it would have in the other one. */
export interface BarNote {
  readonly part: Part;
  readonly midi: number;
  /** Index of its bar. */
  readonly bar: number;
  /** Divisions from the start of bar 1, and from the start of its bar. */
  readonly start: number;
  readonly onset: number;
  readonly length: number;
  /** As played, in quarters from the start of its bar; undefined where the note has no performance. */
  readonly playedOnset: number | undefined;
  readonly playedLength: number | undefined;
  /** Index into the part's played notes. */
  readonly played: number;
}

/** Notes at their places among the bars of another stage; those whose bar is not there are left out. */
export function notesAmong(
  notes: readonly BarNote[],
  bars: readonly Bar[],
  barOf: (bar: number) => number,
): readonly BarNote[] {
  const placed: BarNote[] = [];
  let isSame = true;
  for (const note of notes) {
    const bar = barOf(note.bar);
    const place = bars[bar];
    if (place === undefined) {
      isSame = false;
      continue;
    }
    const own = placedIn(note, bar, place);
    if (own !== note) isSame = false;
    placed.push(own);
  }
  // The very list where nothing moved: what was made of it holds.
  return isSame ? notes : placed;
}

/** The note at its place in a bar, given by index; the very note where it stands there. */
export function placedIn(note: BarNote, bar: number, { startQuarters }: Bar): BarNote {
  const start = startQuarters * DIVISIONS_PER_QUARTER + note.onset;
  if (bar === note.bar && start === note.start) return note;
  // By name, as that is several times quicker than copying whatever there is.
  const { part, midi, onset, length, playedOnset, playedLength, played } = note;
  return { part, midi, bar, start, onset, length, playedOnset, playedLength, played };
}

/** Notes moved up by an interval, or each by that of its bar, but for those without pitch. */
export function raised(notes: readonly BarNote[], semitones: number | ((bar: number) => number)): readonly BarNote[] {
  if (semitones === 0) return notes;
  const shiftOf = typeof semitones === 'number' ? (): number => semitones : semitones;
  return notes.map((note) => {
    const shift = note.part.unpitched ? 0 : shiftOf(note.bar);
    if (shift === 0) return note;
    const { part, midi, bar, start, onset, length, playedOnset, playedLength, played } = note;
    return { part, midi: midi + shift, bar, start, onset, length, playedOnset, playedLength, played };
  });
}

const NONE: readonly BarNote[] = [];

/** The notes of a list bar by bar. */
export interface NotesByBar {
  /** The notes that begin in a bar, given by index, in their order. */
  readonly in: (bar: number) => readonly BarNote[];
  /** How many those are, by index of the bar, as far as there are some. */
  readonly counts: Uint32Array;
  /** Adds 1 at each pitch of the notes that begin in a bar, once a note, so that nobody need look at the notes; other pitches than there is place for are left out. */
  readonly countPitches: (bar: number, into: Int32Array) => void;
  /** The keys of the notes that begin in each bar, by index, that `counts` has: sets of bits, `WORDS` of them a bar, one after the other. */
  readonly keySets: () => Int32Array;
  /** Indices of the bars that have notes, in the order of their first ones. */
  readonly bars: () => readonly number[];
  /** The notes that are held into another one of these bars. */
  readonly heldOver: (bars: readonly Bar[]) => readonly HeldNote[];
}

/** Where a note is. */
export type HeldNote = Pick<BarNote, 'bar' | 'start' | 'length'>;

const NO_KEYS = new Int32Array(0);

const NO_NOTES: NotesByBar = {
  in: () => NONE,
  counts: new Uint32Array(0),
  countPitches: () => undefined,
  keySets: () => NO_KEYS,
  bars: () => [],
  heldOver: () => NONE,
};

const keySetsOfNotes = onceEach((notes: readonly BarNote[]): Int32Array => {
  const last = notes.reduce((most, { bar }) => Math.max(most, bar), -1);
  const sets = new Int32Array(WORDS * (last + 1));
  for (const { bar, midi } of notes) addKey(sets, bar, midi);
  return sets;
});

/** Adds 1 at the pitch of each note. */
function countPitchesOf(notes: readonly BarNote[], into: Int32Array): void {
  for (let at = 0; at < notes.length; at++) {
    const midi = notes[at]?.midi ?? -1;
    into[midi] = (into[midi] ?? 0) + 1;
  }
}

/** Indices of the bars of which there are counts other than 0. */
export function countedBars(counts: Uint32Array): readonly number[] {
  const bars: number[] = [];
  for (let bar = 0; bar < counts.length; bar++) if (counts[bar] !== 0) bars.push(bar);
  return bars;
}

/** The size of each group, from where they begin and the last one ends. */
export function countsOf(starts: Uint32Array): Uint32Array {
  const counts = new Uint32Array(Math.max(0, starts.length - 1));
  for (let bar = 0; bar < counts.length; bar++) counts[bar] = (starts[bar + 1] ?? 0) - (starts[bar] ?? 0);
  return counts;
}

/** True where a note is not held into another bar: most notes are not, and need no list of bars. */
export function endsInItsBar(bars: readonly Bar[], { bar, start, length }: HeldNote): boolean {
  return start + length <= (bars[bar + 1]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
}

/** The notes of a list that are held into another one of these bars. */
export const heldOverOf = onceEach((notes: readonly BarNote[]) =>
  onceEach((bars: readonly Bar[]): readonly BarNote[] => {
    const held: BarNote[] = [];
    for (let at = 0; at < notes.length; at++) {
      const note = notes[at];
      if (note !== undefined && !endsInItsBar(bars, note)) held.push(note);
    }
    return held;
  }),
);

/** The notes of a part by the index of their bar. Notes of a bar that stand together are not copied until they are asked for. */
export function notesByBar(notes: readonly BarNote[]): NotesByBar {
  return notes.length === 0 ? NO_NOTES : byBarOf(notes);
}

/**
 * Where the notes of each bar begin, by its index, up to the last bar that has some; one more start marks the end. Undefined where the notes
 * are not sorted by bar.
 */
export const barStarts = onceEach((notes: readonly BarNote[]): Uint32Array | undefined => {
  const starts = new Uint32Array((notes.at(-1)?.bar ?? -1) + 2);
  let last = -1;
  for (let at = 0; at < notes.length; at++) {
    const bar = notes[at]?.bar ?? -1;
    if (bar === last) continue;
    if (bar < last) return undefined;
    for (let next = last + 1; next <= bar; next++) starts[next] = at;
    last = bar;
  }
  starts[last + 1] = notes.length;
  return starts;
});

/** Notes that are sorted by bar, without those of some bars, ascending; the very list where there are none of these. */
export function notesOutside(notes: readonly BarNote[], bars: readonly number[]): readonly BarNote[] {
  const starts = barStarts(notes);
  if (bars.length === 0 || starts === undefined) return notes;
  let others = NONE;
  let from = 0;
  for (const bar of bars) {
    const start = starts[bar] ?? notes.length;
    const end = starts[bar + 1] ?? notes.length;
    if (start === end) continue;
    if (start > from) others = others.concat(notes.slice(from, start));
    from = end;
  }
  return from === 0 ? notes : others.concat(notes.slice(from));
}

/** Notes that are listed, or looked for by bars, once somebody asks. */
export interface LazyNotes {
  readonly notes: () => readonly BarNote[];
  readonly byBar: () => NotesByBar;
  readonly count: () => number;
}

/** The same notes, listed once somebody asks; by bars, and counted, from the list where nothing else knows them. */
export function listedOnce(list: () => readonly BarNote[], byBar?: () => NotesByBar, count?: () => number): LazyNotes {
  let made: readonly BarNote[] | undefined;
  const notes = (): readonly BarNote[] => (made ??= list());
  return {
    notes,
    byBar: byBar ?? ((): NotesByBar => notesByBar(notes())),
    count: count ?? ((): number => notes().length),
  };
}

const byBarOf = onceEach((notes: readonly BarNote[]): NotesByBar => {
  const starts = barStarts(notes);
  if (starts === undefined) return byScatteredBars(notes);
  const counts = countsOf(starts);
  const made: (readonly BarNote[] | undefined)[] = [];
  const inBar = (bar: number): readonly BarNote[] =>
    (counts[bar] ?? 0) > 0 ? (made[bar] ??= notes.slice(starts[bar], starts[bar + 1])) : NONE;
  return {
    in: inBar,
    counts,
    countPitches: (bar, into) => {
      countPitchesOf(inBar(bar), into);
    },
    keySets: () => keySetsOfNotes(notes),
    bars: () => countedBars(counts),
    heldOver: (among) => heldOverOf(notes)(among),
  };
});

function byScatteredBars(notes: readonly BarNote[]): NotesByBar {
  const groups: BarNote[][] = [];
  const bars: number[] = [];
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note === undefined) continue;
    const group = groups[note.bar];
    if (group !== undefined) group.push(note);
    else {
      groups[note.bar] = [note];
      bars.push(note.bar);
    }
  }
  const counts = new Uint32Array(groups.length);
  for (const bar of bars) counts[bar] = groups[bar]?.length ?? 0;
  return {
    in: (bar) => groups[bar] ?? NONE,
    counts,
    countPitches: (bar, into) => {
      countPitchesOf(groups[bar] ?? NONE, into);
    },
    keySets: () => keySetsOfNotes(notes),
    bars: () => bars,
    heldOver: (among) => heldOverOf(notes)(among),
  };
}
