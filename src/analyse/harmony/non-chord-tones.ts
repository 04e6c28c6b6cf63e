/** Notes that are foreign to their chord, each with the reason why it is heard as an ornament. */
import type { NonChordTone } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt, pulseQuarters } from '../../model/music/timeline.ts';
import type { ChordSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { firstChordEndingAfter } from './chord-at.ts';
import type { Line } from '../lines/lines-of-parts.ts';
import { linesOf } from '../lines/lines-of-parts.ts';
import { kindOf } from './non-chord-kinds.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice } from '../placed-notes/slices.ts';
import { lastAtOrBefore } from '../../model/sorted-search.ts';

/** A foreign note shorter than this share of a quarter within its chord is no event of its own. */
const LEAST_QUARTERS = 0.12;
/** A rest longer than an eighth ends a line. */
const LONGEST_REST = 0.5;
/** Below this share of explained sound a chord says too little to call anything foreign to it. */
const LEAST_COVERAGE = 0.6;

function nearest(notes: readonly PlacedNote[], midi: number): PlacedNote | undefined {
  return [...notes].sort((a, b) => Math.abs(a.midi - midi) - Math.abs(b.midi - midi) || a.midi - b.midi)[0];
}

/** The note that leads to one, and the one it leads to, nearest in pitch; a line that rests for long leads nowhere. */
function neighboursOf(
  line: readonly PlacedNote[],
  index: number,
): { readonly before?: PlacedNote; readonly after?: PlacedNote } {
  const note = line[index] as PlacedNote;
  let first = index;
  while (first > 0 && line[first - 1]?.startQuarters === note.startQuarters) first--;
  let last = index;
  while (line[last + 1]?.startQuarters === note.startQuarters) last++;
  const groupBefore: PlacedNote[] = [];
  for (let at = first - 1; at >= 0 && line[at]?.startQuarters === line[first - 1]?.startQuarters; at--)
    groupBefore.push(line[at] as PlacedNote);
  const groupAfter: PlacedNote[] = [];
  for (let at = last + 1; at < line.length && line[at]?.startQuarters === line[last + 1]?.startQuarters; at++)
    groupAfter.push(line[at] as PlacedNote);
  const before = nearest(
    groupBefore.filter((other) => other.endQuarters >= note.startQuarters - LONGEST_REST),
    note.midi,
  );
  const after = nearest(
    groupAfter.filter((other) => other.startQuarters <= note.endQuarters + LONGEST_REST),
    note.midi,
  );
  return { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) };
}

function weightAt(timeline: Timeline, quarters: number): number {
  const bar = timeline.bars[barIndexAt(timeline.bars, quarters)];
  if (bar === undefined) return 9;
  const offset = quarters - bar.startQuarters;
  const pulse = pulseQuarters(bar.meter);
  const isOn = (length: number): boolean => Math.abs(offset / length - Math.round(offset / length)) < 0.01;
  if (offset < 0.01) return 0;
  for (let size = pulse, weight = 1; size > 0.1; size /= 2, weight++) if (isOn(size)) return weight;
  return 9;
}

interface Scene {
  readonly chords: readonly ChordSpan[];
  readonly timeline: Timeline;
  readonly lowestAt: (quarters: number) => number;
}

function chordIndexAt(chords: readonly ChordSpan[], division: number): number | undefined {
  const index = firstChordEndingAfter(chords, division);
  const chord = chords[index];
  return chord !== undefined && chord.start <= division ? index : undefined;
}

function belongs(chord: ChordSpan | undefined, midi: number): boolean {
  return chord?.tones.includes(midi % 12) ?? false;
}

function readNote(line: Line, at: number, { chords, timeline, lowestAt }: Scene): NonChordTone[] {
  const note = line.notes[at] as PlacedNote;
  const found: NonChordTone[] = [];
  const startDivision = Math.round(note.startQuarters * DIVISIONS_PER_QUARTER);
  const endDivision = Math.round(note.endQuarters * DIVISIONS_PER_QUARTER);
  for (let index = firstChordEndingAfter(chords, startDivision); index < chords.length; index++) {
    const chord = chords[index];
    if (chord === undefined || chord.start >= endDivision) break;
    if (belongs(chord, note.midi) || chord.coverage < LEAST_COVERAGE) continue;
    const from = Math.max(startDivision, chord.start);
    const to = Math.min(endDivision, chord.start + chord.length);
    const startQuarters = from / DIVISIONS_PER_QUARTER;
    const lengthQuarters = (to - from) / DIVISIONS_PER_QUARTER;
    if (lengthQuarters < LEAST_QUARTERS) continue;
    const { before, after } = neighboursOf(line.notes, at);
    const isHeldOver = startDivision < chord.start;
    const chordBefore = chords[index - 1];
    const chordAfter = chords[index + 1];
    const afterIndex =
      after === undefined ? undefined : chordIndexAt(chords, Math.round(after.startQuarters * DIVISIONS_PER_QUARTER));
    const weight = weightAt(timeline, startQuarters);
    const isStill = to < endDivision;
    const isLowest = note.midi <= lowestAt(startQuarters + lengthQuarters / 2);
    found.push({
      chord: index,
      partId: line.partId,
      bar: chordBar(timeline, startQuarters),
      startQuarters,
      lengthQuarters,
      midi: note.midi,
      kind: kindOf({
        comes: isHeldOver ? 0 : before === undefined ? undefined : note.midi - before.midi,
        leaves: isStill || after === undefined ? undefined : after.midi - note.midi,
        isPrepared: (isHeldOver || before?.midi === note.midi) && belongs(chordBefore, note.midi),
        isAccented: weight <= 1 || (after !== undefined && weight < weightAt(timeline, after.startQuarters)),
        isAnticipated:
          after?.midi === note.midi && afterIndex !== index && belongs(chords[afterIndex ?? -1], note.midi),
        isGround:
          isLowest &&
          (isHeldOver || before?.midi === note.midi) &&
          (isStill || after?.midi === note.midi) &&
          belongs(chordBefore, note.midi) &&
          (belongs(chordAfter, note.midi) || isStill),
      }),
    });
  }
  return found;
}

function chordBar(timeline: Timeline, quarters: number): number {
  return timeline.bars[barIndexAt(timeline.bars, quarters)]?.number ?? 1;
}

/** Lowest sounding key number at a moment. */
function lowestIn(slices: readonly Slice[]): (quarters: number) => number {
  return (quarters) => {
    const slice = slices[lastAtOrBefore(slices, quarters, ({ startQuarters }) => startQuarters)];
    return slice?.sounding[0]?.note.midi ?? 0;
  };
}

/** Notes foreign to their chord, by place, then part, then pitch. Chords that explain too little of the sound are left out. */
export function nonChordTonesOf(
  chords: readonly ChordSpan[],
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  timeline: Timeline,
): readonly NonChordTone[] {
  const scene: Scene = { chords, timeline, lowestAt: lowestIn(slices) };
  return placed
    .filter(({ part }) => !part.unpitched)
    .flatMap((part, index) => linesOf(part, index))
    .flatMap((line) => line.notes.flatMap((_, at) => readNote(line, at, scene)))
    .sort((a, b) => a.startQuarters - b.startQuarters || a.partId.localeCompare(b.partId, 'en') || a.midi - b.midi);
}
