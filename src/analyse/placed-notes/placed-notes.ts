/** Notes at their written place, with the played note they come from: what most readings work on. */
import type { Part, PlayedNote, Stage } from '../../model/music/arrangement.ts';
import { barAndBeat, quartersAt } from '../../model/music/timeline.ts';
import type { Bar, Timeline } from '../../model/music/timeline.ts';
import type { WrittenNote, WrittenPart, WrittenNotes } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { firstReaching } from '../../model/sorted-search.ts';

export interface PlacedNote {
  readonly midi: number;
  /** Written place, in quarters from bar 1. */
  readonly startQuarters: number;
  readonly endQuarters: number;
  /** Where the sound stops, on the written clock: `endQuarters`, or later where the pedal holds it. */
  readonly soundingEndQuarters: number;
  /** Performed minus written onset; add it to a written place to find the controllers of that moment. */
  readonly shiftQuarters: number;
  readonly played: PlayedNote;
  readonly written: WrittenNote;
}

export interface PlacedPart {
  readonly part: Part;
  /** Sorted by start, then midi. */
  readonly notes: readonly PlacedNote[];
}

/** Numbers of the bars in which a stretch of notes begins and ends, as written; a note that ends on a bar line ends before it. */
export function barsOfStretch(
  { first, last }: { readonly first: PlacedNote; readonly last: PlacedNote },
  { bars }: Timeline,
): { readonly from: number; readonly to: number } {
  return { from: barAndBeat(bars, first.startQuarters).bar, to: barAndBeat(bars, last.endQuarters - 1e-4).bar };
}

/** Pedalled sound shorter than this after key-up is no ringing on. */
const RINGING_SECONDS = 0.05;

function placeNote(written: WrittenNote, played: PlayedNote, timeline: Timeline): PlacedNote {
  const startQuarters = written.start / DIVISIONS_PER_QUARTER;
  const endQuarters = (written.start + written.length) / DIVISIONS_PER_QUARTER;
  const shiftQuarters = played.startQuarters - startQuarters;
  const rings = played.soundingEndSecond > played.endSecond + RINGING_SECONDS;
  const ringsTo = rings ? quartersAt(timeline, played.soundingEndSecond) - shiftQuarters : endQuarters;
  return {
    midi: written.midi,
    startQuarters,
    endQuarters,
    soundingEndQuarters: Math.max(endQuarters, ringsTo),
    shiftQuarters,
    played,
    written,
  };
}

function placePart(part: Part, written: WrittenPart | undefined, timeline: Timeline): PlacedPart {
  const notes = (written?.notes ?? []).flatMap((note) => {
    const played = part.notes[note.played];
    return played === undefined ? [] : [placeNote(note, played, timeline)];
  });
  notes.sort((a, b) => a.startQuarters - b.startQuarters || a.midi - b.midi);
  return { part, notes };
}

/** Every part of the stage with its notes at their written places, in the order of the stage's parts. */
export function placeParts(stage: Stage, written: WrittenNotes): readonly PlacedPart[] {
  const byId = new Map(written.parts.map((part) => [part.partId, part]));
  return stage.parts.map((part) => placePart(part, byId.get(part.id), stage.timeline));
}

/** Notes of a part, sorted by start, by the bar in which they begin, for each bar. */
export function notesByBar(notes: readonly PlacedNote[], bars: readonly Bar[]): readonly (readonly PlacedNote[])[] {
  const firstFrom = (quarters: number): number =>
    firstReaching(notes, ({ startQuarters }) => startQuarters >= quarters - 1e-6);
  return bars.map(({ startQuarters, lengthQuarters }) =>
    notes.slice(firstFrom(startQuarters), firstFrom(startQuarters + lengthQuarters)),
  );
}
