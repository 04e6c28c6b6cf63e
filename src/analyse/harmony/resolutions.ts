/**
 * Where leading notes and sevenths go when their chord does: up by a semitone, down by a step (E. Aldwell and C. Schachter, Harmony and Voice
 * Leading; S. Kostka and D. Payne, Tonal Harmony; from memory). The same books let another part take the note of resolution, let a
 * tone lie where the next chord has it too, and let an inner leading note fall to the fifth of the chord.
 */
import type { Resolution, ResolutionOutcome, TendencyKind } from '../../model/readings/readings.ts';
import { pitchClassOf } from '../../model/music/pitch.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { ChordSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { Line } from '../lines/lines-of-parts.ts';
import { linesOf } from '../lines/lines-of-parts.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** Chords that say too little (share of explained sound), and chords further apart than an eighth, show no resolution. */
const LEAST_COVERAGE = 0.6;
const LONGEST_GAP_QUARTERS = 0.5;
/** A tone given up longer than this before its chord goes (a beat) was an ornament, or went on inside the chord. */
const LATEST_QUARTERS = 1;
/** Onsets this close to the change are the change; a line that begins again later than this has rested. */
const NEAR_QUARTERS = 0.05;
const LATE_QUARTERS = 1;
/** A broken chord, or a figure round the resolution, may bring it so much later, while the next chord lasts. */
const DELAYED_QUARTERS = 4;

const SEVENTHS: ReadonlyMap<string, number> = new Map([
  ['dominant-seventh', 10],
  ['half-diminished', 10],
  ['diminished-seventh', 9],
]);

/** Pitch class that wants to rise by a semitone in a chord that goes to its tonic; undefined where it is no such chord. */
function leadingNoteOf(chord: ChordSpan, next: ChordSpan): number | undefined {
  const root = pitchClassOf(chord.root);
  const goal = pitchClassOf(next.root);
  if (next.quality !== 'major' && next.quality !== 'minor') return undefined;
  if (/^V(?!\(|I)/.test(chord.roman)) return goal === (root + 5) % 12 ? (root + 4) % 12 : undefined;
  return /^vii/.test(chord.roman) && goal === (root + 1) % 12 ? root : undefined;
}

/** Pitch class of the seventh; none in an augmented sixth, which sounds like one and rises. */
function seventhOf(chord: ChordSpan): number | undefined {
  const above = chord.roman.startsWith('Ger') ? undefined : SEVENTHS.get(chord.quality);
  return above === undefined ? undefined : (pitchClassOf(chord.root) + above) % 12;
}

/** Steps that resolve, in semitones upward within the octave: a leap into another octave changes the register, not the way. */
const WANTED: Readonly<Record<TendencyKind, readonly number[]>> = { 'leading-note': [1], seventh: [11, 10] };

function stepsUp(from: number, to: number): number {
  return (((to - from) % 12) + 12) % 12;
}

interface Change {
  readonly kind: TendencyKind;
  readonly pitchClass: number;
  readonly chord: number;
  readonly startQuarters: number;
  /** Where the next chord begins, and up to where it may resolve the tone. */
  readonly atQuarters: number;
  readonly untilQuarters: number;
}

function changesOf(chords: readonly ChordSpan[]): Change[] {
  return chords.flatMap((chord, index): Change[] => {
    const next = chords[index + 1];
    if (next === undefined || pitchClassOf(next.root) === pitchClassOf(chord.root)) return [];
    if (chord.coverage < LEAST_COVERAGE || next.coverage < LEAST_COVERAGE) return [];
    const gap = (next.start - chord.start - chord.length) / DIVISIONS_PER_QUARTER;
    if (gap > LONGEST_GAP_QUARTERS) return [];
    const place = {
      chord: index,
      startQuarters: chord.start / DIVISIONS_PER_QUARTER,
      atQuarters: next.start / DIVISIONS_PER_QUARTER,
      untilQuarters:
        next.start / DIVISIONS_PER_QUARTER + Math.min(DELAYED_QUARTERS, next.length / DIVISIONS_PER_QUARTER),
    };
    const leading = leadingNoteOf(chord, next);
    const seventh = seventhOf(chord);
    return [
      ...(leading === undefined ? [] : [{ kind: 'leading-note' as const, pitchClass: leading, ...place }]),
      ...(seventh === undefined ? [] : [{ kind: 'seventh' as const, pitchClass: seventh, ...place }]),
    ];
  });
}

/** Index of the first note of a line that begins at a place or later. */
function firstFrom(notes: readonly PlacedNote[], quarters: number): number {
  return firstReaching(notes, ({ startQuarters }) => startQuarters >= quarters);
}

interface Tendency {
  readonly partIndex: number;
  readonly note: PlacedNote;
  /** What the line plays next, all notes of the onset; empty where it rests. And what it plays in the next chord. */
  readonly after: readonly PlacedNote[];
  readonly later: readonly PlacedNote[];
}

/** The last onset of a line before a change, and the next one. */
function aroundChange(
  notes: readonly PlacedNote[],
  at: number,
  until: number,
): { last: PlacedNote[]; after: PlacedNote[]; later: PlacedNote[] } {
  const next = firstFrom(notes, at - NEAR_QUARTERS);
  const lastStart = notes[next - 1]?.startQuarters;
  const nextStart = notes[next]?.startQuarters ?? Infinity;
  const last: PlacedNote[] = [];
  for (let index = next - 1; index >= 0 && notes[index]?.startQuarters === lastStart; index--)
    last.push(notes[index] as PlacedNote);
  const after: PlacedNote[] = [];
  if (nextStart <= at + LATE_QUARTERS)
    for (let index = next; notes[index]?.startQuarters === nextStart; index++) after.push(notes[index] as PlacedNote);
  const later: PlacedNote[] = [];
  if (after.length > 0)
    for (let index = next; (notes[index]?.startQuarters ?? Infinity) < until - NEAR_QUARTERS; index++)
      later.push(notes[index] as PlacedNote);
  return { last, after, later };
}

function tendenciesAt(change: Change, lines: readonly Line[]): Tendency[] {
  return lines.flatMap(({ notes, partIndex }) => {
    const { last, after, later } = aroundChange(notes, change.atQuarters, change.untilQuarters);
    return last.flatMap((note): Tendency[] =>
      note.midi % 12 === change.pitchClass &&
      note.endQuarters > change.startQuarters &&
      note.endQuarters >= change.atQuarters - LATEST_QUARTERS
        ? [{ partIndex, note, after, later }]
        : [],
    );
  });
}

function isResolved(kind: TendencyKind, { note, after, later }: Tendency): boolean {
  return [...after, ...later].some(({ midi }) => WANTED[kind].includes(stepsUp(note.midi, midi)));
}

function isHeld({ atQuarters }: Change, { note, after }: Tendency): boolean {
  const lies = note.endQuarters > atQuarters + NEAR_QUARTERS;
  return lies || after.some(({ midi }) => stepsUp(note.midi, midi) === 0);
}

/** What a tendency comes to, others of the same kind at the same moment known. */
function outcomeOf(
  change: Change,
  own: Tendency,
  all: readonly Tendency[],
  begins: readonly Beginning[],
): ResolutionOutcome {
  if (isResolved(change.kind, own)) return 'resolved';
  if (isHeld(change, own)) return 'held';
  // Another part in the same octave; another hand or voice of the same player in any.
  const isTaken =
    begins.some(({ midi, partIndex }) =>
      WANTED[change.kind].some((step) =>
        partIndex === own.partIndex
          ? stepsUp(own.note.midi, midi) === step
          : midi - own.note.midi === (step > 6 ? step - 12 : step),
      ),
    ) || all.some((other) => other !== own && (isResolved(change.kind, other) || isHeld(change, other)));
  return isTaken ? 'taken-over' : 'left';
}

interface Beginning {
  readonly midi: number;
  readonly partIndex: number;
}

/** Keys sounding just before a change, and keys that begin at it or in the chord that follows. */
function soundAt(
  lines: readonly Line[],
  { atQuarters: at, untilQuarters }: Change,
): { sounding: number[]; begins: Beginning[] } {
  const sounding: number[] = [];
  const begins: Beginning[] = [];
  for (const { notes, partIndex } of lines) {
    const { last, after, later } = aroundChange(notes, at, untilQuarters);
    for (const note of last) if (note.endQuarters >= at - LATEST_QUARTERS) sounding.push(note.midi);
    for (const note of [...after, ...later]) begins.push({ midi: note.midi, partIndex });
  }
  return { sounding, begins };
}

/** Leading notes and sevenths of dominants and diminished chords at the moment when the root changes. */
export function resolutionsOf(
  chords: readonly ChordSpan[],
  placed: readonly PlacedPart[],
  timeline: Timeline,
): readonly Resolution[] {
  const lines = placed.flatMap((part, partIndex) => (part.part.unpitched ? [] : linesOf(part, partIndex)));
  return changesOf(chords).flatMap((change) => {
    const tendencies = tendenciesAt(change, lines);
    if (tendencies.length === 0) return [];
    const { sounding, begins } = soundAt(lines, change);
    const top = Math.max(...sounding);
    const bottom = Math.min(...sounding);
    return tendencies.map((own): Resolution => {
      const { note, after } = own;
      const to = [...after].sort((a, b) => Math.abs(a.midi - note.midi) - Math.abs(b.midi - note.midi))[0]?.midi;
      return {
        chord: change.chord,
        kind: change.kind,
        partId: placed[own.partIndex]?.part.id ?? '',
        bar: timeline.bars[barIndexAt(timeline.bars, note.startQuarters)]?.number ?? 0,
        startQuarters: note.startQuarters,
        midi: note.midi,
        ...(to === undefined ? {} : { to }),
        outcome: outcomeOf(change, own, tendencies, begins),
        isOuter: note.midi === top || note.midi === bottom,
      };
    });
  });
}
