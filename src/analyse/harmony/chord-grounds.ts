/** Who has the bass of each chord, where it is handed over, and what the chord lacks without the foreground. */
import type { ChordCoverage, ChordGround } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt, pulseQuarters } from '../../model/music/timeline.ts';
import type { ChordSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { firstChordEndingAfter } from './chord-at.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice } from '../placed-notes/slices.ts';

/** A part has the bass of a chord where it has the lowest pitch for this share of the time in which anything sounds. */
const OWNING_SHARE = 0.5;
const CLOSE = 1e-6;

interface Ground {
  whole: number;
  readonly quartersByPart: Map<number, number>;
}

/** A bass note that stays the ground of its chord when it is over. */
interface StayingBass {
  readonly chord: number;
  readonly midi: number;
  readonly owners: ReadonlySet<number>;
}

function isOnBeat({ startQuarters, barIndex }: Slice, { bars }: Timeline): boolean {
  const bar = bars[barIndex];
  if (bar === undefined) return false;
  const beats = (startQuarters - bar.startQuarters) / pulseQuarters(bar.meter);
  return Math.abs(beats - Math.round(beats)) < CLOSE;
}

/**
 * For each chord, how long each part has the ground: the lowest pitch; and a note on the beat stays it, though it is short, until its part strikes a
 * bass note again or the harmony changes (the bass of a waltz or a march, plucked and damped: common practice, no source). `isTune` says of a part
 * in a bar that it leads: a low note of a tune is no ground that stays.
 */
function groundsByChord(
  chords: readonly ChordSpan[],
  slices: readonly Slice[],
  timeline: Timeline,
  isTune: (partIndex: number, barIndex: number) => boolean,
): readonly Ground[] {
  const grounds = chords.map((): Ground => ({ whole: 0, quartersByPart: new Map() }));
  let staying: StayingBass | undefined;
  for (const slice of slices) {
    const { startQuarters, endQuarters, sounding, barIndex } = slice;
    const midi = sounding[0]?.note.midi ?? 0;
    const low = sounding.filter(({ note }) => note.midi === midi);
    const owners = new Set(low.map(({ partIndex }) => partIndex));
    const struck = low.filter(({ note }) => note.startQuarters === startQuarters);
    const stays = struck.length > 0 && isOnBeat(slice, timeline) && !low.some((own) => isTune(own.partIndex, barIndex));
    const start = Math.round(startQuarters * DIVISIONS_PER_QUARTER);
    const end = Math.round(endQuarters * DIVISIONS_PER_QUARTER);
    for (let index = firstChordEndingAfter(chords, start); index < chords.length; index++) {
      const chord = chords[index];
      const ground = grounds[index];
      if (chord === undefined || ground === undefined || chord.start >= end) break;
      const overlap = Math.min(end, chord.start + chord.length) - Math.max(start, chord.start);
      ground.whole += overlap;
      const before = staying?.chord === index && staying.midi <= midi ? staying : undefined;
      const isOver = before === undefined || struck.some(({ partIndex }) => before.owners.has(partIndex));
      const own = isOver || before.midi === midi ? owners : before.owners;
      for (const owner of own) ground.quartersByPart.set(owner, (ground.quartersByPart.get(owner) ?? 0) + overlap);
      if (isOver) staying = stays ? { chord: index, midi, owners } : undefined;
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
  const isTune = (partIndex: number, barIndex: number): boolean =>
    front[barIndex]?.has(placed[partIndex]?.part.id ?? '') ?? false;
  return groundsByChord(chords, slices, timeline, isTune).map(({ whole, quartersByPart }, chord) => {
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
