/** Who has the bass of each chord, where it is handed over, and what the chord lacks without the foreground. */
import type { ChordCoverage, ChordGround } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { ChordSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { firstChordEndingAfter } from './chord-at.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice } from '../placed-notes/slices.ts';

/** A part has the bass of a chord where it has the lowest pitch for this share of the time in which anything sounds. */
const OWNING_SHARE = 0.5;

interface Ground {
  whole: number;
  readonly quartersByPart: Map<number, number>;
}

/** For each chord, how long each part has the lowest pitch. */
function groundsByChord(chords: readonly ChordSpan[], slices: readonly Slice[]): readonly Ground[] {
  const grounds = chords.map((): Ground => ({ whole: 0, quartersByPart: new Map() }));
  for (const { startQuarters, endQuarters, sounding } of slices) {
    const lowest = sounding[0]?.note.midi;
    const owners = new Set(sounding.filter(({ note }) => note.midi === lowest).map(({ partIndex }) => partIndex));
    const start = Math.round(startQuarters * DIVISIONS_PER_QUARTER);
    const end = Math.round(endQuarters * DIVISIONS_PER_QUARTER);
    for (let index = firstChordEndingAfter(chords, start); index < chords.length; index++) {
      const chord = chords[index];
      const ground = grounds[index];
      if (chord === undefined || ground === undefined || chord.start >= end) break;
      const overlap = Math.min(end, chord.start + chord.length) - Math.max(start, chord.start);
      ground.whole += overlap;
      for (const owner of owners) ground.quartersByPart.set(owner, (ground.quartersByPart.get(owner) ?? 0) + overlap);
    }
  }
  return grounds;
}

/** One reading a chord, in their order. `front` are the ids of the parts in front by bar index. */
export function chordGroundsOf(
  chords: readonly ChordSpan[],
  coverage: readonly ChordCoverage[],
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  front: readonly ReadonlySet<string>[],
  timeline: Timeline,
): readonly ChordGround[] {
  let before: readonly string[] = [];
  return groundsByChord(chords, slices).map(({ whole, quartersByPart }, chord) => {
    const bassPartIds = [...quartersByPart]
      .filter(([, quarters]) => quarters >= whole * OWNING_SHARE)
      .map(([partIndex]) => partIndex)
      .sort((a, b) => a - b)
      .flatMap((partIndex) => placed[partIndex]?.part.id ?? []);
    const handover = before.length > 0 && bassPartIds.length > 0 && !bassPartIds.some((id) => before.includes(id));
    if (bassPartIds.length > 0) before = bassPartIds;
    const span = chords[chord];
    const start = (span?.start ?? 0) / DIVISIONS_PER_QUARTER;
    const ahead = front[barIndexAt(timeline.bars, start)];
    const covered = coverage[chord]?.covered ?? {};
    const missingWithoutForeground = (span?.tones ?? []).filter(
      (tone) => !(covered[String(tone)] ?? []).some((id) => !(ahead?.has(id) ?? false)),
    );
    return { chord, bassPartIds, handover, missingWithoutForeground };
  });
}
