/** The parts of a stage with their notes by bar: columns for all of them, and each note as a thing of its own once somebody looks at its bar. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import { barIndexAt, type Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER, type WrittenNote, type WrittenNotes } from '../../../model/music/written.ts';
import {
  countedBars,
  countsOf,
  heldOverOf,
  listedOnce,
  notesOutside,
  type BarNote,
  type HeldNote,
  type LazyNotes,
  type NotesByBar,
} from './bar-notes.ts';
import {
  columnsOfNotes,
  columnsOfWritten,
  countPitchesAt,
  keySetsOf,
  FIELDS,
  LENGTH,
  type NoteColumns,
} from './note-columns.ts';

/** Notes of one part. */
export interface PartNotes extends LazyNotes {
  readonly part: Part;
}

/** All notes of a part, sorted by bar, onset and pitch. */
export interface BarPart extends PartNotes {
  readonly columns: NoteColumns;
}

function barNote(part: Part, note: WrittenNote, bars: readonly Bar[], bar: number): BarNote {
  const startQuarters = bars[bar]?.startQuarters ?? 0;
  const performance = part.notes[note.played];
  return {
    part,
    midi: note.midi,
    bar,
    start: note.start,
    onset: note.start - startQuarters * DIVISIONS_PER_QUARTER,
    length: note.length,
    playedOnset: performance === undefined ? undefined : performance.startQuarters - startQuarters,
    playedLength: performance === undefined ? undefined : performance.endQuarters - performance.startQuarters,
    played: note.played,
  };
}

/** A part of these notes, sorted by bar, onset and pitch. */
export function partOfNotes(part: Part, notes: readonly BarNote[]): BarPart {
  return { ...listedOnce(() => notes), part, columns: columnsOfNotes(notes) };
}

const NONE: readonly BarNote[] = [];

/** The written notes of a part by these bars; `columns` are theirs. */
function writtenByBar(
  part: Part,
  written: readonly WrittenNote[],
  bars: readonly Bar[],
  columns: NoteColumns,
): NotesByBar {
  const { fields, midi, places, starts } = columns;
  const made: (readonly BarNote[] | undefined)[] = [];
  const counts = countsOf(starts);
  const notesIn = (bar: number): readonly BarNote[] => {
    const notes: BarNote[] = [];
    const end = starts[bar + 1] ?? written.length;
    for (let at = starts[bar] ?? end; at < end; at++) {
      const note = written[at];
      if (note !== undefined) notes.push(barNote(part, note, bars, bar));
    }
    return notes;
  };
  const inBar = (bar: number): readonly BarNote[] => ((counts[bar] ?? 0) > 0 ? (made[bar] ??= notesIn(bar)) : NONE);
  const heldOver = (): readonly HeldNote[] => {
    const held: HeldNote[] = [];
    for (let bar = 0; bar + 1 < starts.length; bar++) {
      const end = (bars[bar + 1]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
      for (let at = starts[bar] ?? 0; at < (starts[bar + 1] ?? 0); at++) {
        const start = places[at] ?? 0;
        const length = fields[FIELDS * at + LENGTH] ?? 0;
        if (start + length > end) held.push({ bar, start, length });
      }
    }
    return held;
  };
  let held: readonly HeldNote[] | undefined;
  const sounding = countedBars(counts);
  const list = (): readonly BarNote[] => sounding.flatMap(inBar);
  return {
    in: inBar,
    counts,
    countPitches: (bar, into) => {
      countPitchesAt(midi, starts[bar] ?? 0, starts[bar + 1] ?? 0, into);
    },
    keySets: () => keySetsOf(columns),
    bars: () => sounding,
    heldOver: (others) => (others === bars ? (held ??= heldOver()) : heldOverOf(list())(others)),
  };
}

function inOrder(one: BarNote, other: BarNote): number {
  return one.bar - other.bar || one.onset - other.onset || one.midi - other.midi;
}

function barPart(part: Part, written: readonly WrittenNote[], bars: readonly Bar[]): BarPart {
  const columns = columnsOfWritten(part, written, bars);
  if (columns === undefined) {
    const notes = written.map((note) =>
      barNote(part, note, bars, Math.max(0, barIndexAt(bars, note.start / DIVISIONS_PER_QUARTER))),
    );
    return partOfNotes(part, notes.sort(inOrder));
  }
  const byBar = writtenByBar(part, written, bars, columns);
  const lazy = listedOnce(
    () => byBar.bars().flatMap((bar) => byBar.in(bar)),
    () => byBar,
    () => written.length,
  );
  return { ...lazy, part, columns };
}

/** A stage is compared with several others: its notes are laid out once. */
const known = new WeakMap<WrittenNotes, { readonly stage: Stage; readonly parts: readonly BarPart[] }>();

/** The parts of a stage that have notes, in its order, with the notes by bar. */
export function barPartsOf(stage: Stage, written: WrittenNotes): readonly BarPart[] {
  const made = known.get(written);
  if (made?.stage === stage) return made.parts;
  const parts = layOut(stage, written);
  known.set(written, { stage, parts });
  return parts;
}

function layOut(stage: Stage, written: WrittenNotes): readonly BarPart[] {
  const { bars } = stage.timeline;
  if (bars.length === 0) return [];
  const writtenById = new Map(written.parts.map((part) => [part.partId, part.notes]));
  return stage.parts.flatMap((part): readonly BarPart[] => {
    const notes = writtenById.get(part.id) ?? [];
    return notes.length === 0 ? [] : [barPart(part, notes, bars)];
  });
}

/** A part without its notes in some bars, ascending; the very part where it has none there. */
export function outside(item: BarPart, bars: readonly number[]): PartNotes {
  const all = item.byBar();
  const left = bars.reduce((sum, bar) => sum + (all.counts[bar] ?? 0), 0);
  if (left === 0) return item;
  const counts = all.counts.slice();
  for (const bar of bars) counts[bar] = 0;
  const byBar: NotesByBar = {
    in: (bar) => (counts[bar] === 0 ? NONE : all.in(bar)),
    counts,
    countPitches: (bar, into) => {
      if (counts[bar] !== 0) all.countPitches(bar, into);
    },
    keySets: all.keySets,
    bars: () => countedBars(counts),
    heldOver: (among) => all.heldOver(among).filter(({ bar }) => counts[bar] !== 0),
  };
  const lazy = listedOnce(
    () => notesOutside(item.notes(), bars),
    () => byBar,
    () => item.count() - left,
  );
  return { ...lazy, part: item.part };
}
