/** What a reduced score does with the notes of its stage: which it shows, and which it neither shows nor says it left out. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import { midiOf } from '../../src/model/music/pitch.ts';
import type { ReducedScore, ScoreBar, WrittenPart } from '../../src/model/music/written.ts';

interface Struck {
  readonly start: number;
  readonly midi: number;
  readonly partIds: readonly string[];
}

/** Heads that are struck in a bar, of the staves that pass `staff`. */
function struckHeads(bar: ScoreBar): Struck[] {
  return bar.staves.flatMap(({ voices }) =>
    voices.flatMap((voice) =>
      voice.flatMap((event) =>
        event.heads
          .filter((head) => !head.tieFromPrevious)
          .map((head) => ({ start: event.start, midi: midiOf(head.pitch), partIds: head.partIds })),
      ),
    ),
  );
}

/** Notes, as `bar part midi`, that stand nowhere at their place (in any octave) and whose part is not among what was left out there. */
export function unsaidLosses(stage: Stage, parts: readonly WrittenPart[], score: ReducedScore): string[] {
  const losses: string[] = [];
  const heads = score.bars.map(struckHeads);
  for (const part of stage.parts) {
    if (part.unpitched) continue;
    for (const note of parts.find(({ partId }) => partId === part.id)?.notes ?? []) {
      const index = score.bars.findLastIndex((bar) => bar.startDivisions <= note.start);
      const bar = score.bars[index];
      if (bar === undefined || bar.leftOut.some((text) => text.includes(part.abbreviation))) continue;
      const isShown = heads[index]?.some(
        (head) => head.start === note.start && (head.midi - note.midi) % 12 === 0 && head.partIds.includes(part.id),
      );
      if (isShown !== true) losses.push(`${String(bar.number)} ${part.abbreviation} ${String(note.midi)}`);
    }
  }
  return losses;
}

/** From the lowest to the highest of the pitches, those at the edges left out that double another at the octave. */
function spanOf(pitches: readonly number[]): number {
  const sorted = [...new Set(pitches)].sort((a, b) => a - b);
  const low = sorted.includes((sorted[0] ?? 0) + 12) ? 1 : 0;
  const high = sorted.length > low + 1 && sorted.includes((sorted.at(-1) ?? 0) - 12) ? 2 : 1;
  return (sorted.at(-high) ?? 0) - (sorted[low] ?? 0);
}

/** Span in semitones of each hand (staff) at every event, octaves of its outer notes apart, widest of each bar; by bar number. */
export function handSpans(score: ReducedScore, staffId: string): ReadonlyMap<number, number> {
  const staff = score.staves.findIndex(({ id }) => id === staffId);
  return new Map(
    score.bars.map((bar) => {
      const events = (bar.staves[staff]?.voices ?? []).flat();
      const spans = events.map(({ start }) => {
        const sounding = events
          .filter((event) => event.start <= start && event.start + event.length > start)
          .flatMap((event) => event.heads.map((head) => midiOf(head.pitch)));
        return spanOf(sounding);
      });
      return [bar.number, Math.max(0, ...spans)];
    }),
  );
}
