/**
 * Where marks of loudness stand: at notes, and in a note only where it is held long; never under a rest (E. Gould, Behind Bars, on
 * the placing of dynamics, from memory). The levels are read beat by beat, so a place read may lie beside the note that it belongs to.
 */
import type { DynamicMark, WrittenNote } from '../../model/music/written.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import { beatAt } from '../score-time/score-time.ts';

/** What is heard of a layer, in divisions. */
export interface LayerSound {
  /** Places where a note begins, sorted. */
  readonly onsets: readonly number[];
  /** Stretches without silence, sorted. */
  readonly stretches: readonly { readonly from: number; readonly to: number }[];
}

export function layerSound(notes: readonly WrittenNote[]): LayerSound {
  const inOrder = [...notes].sort((a, b) => a.start - b.start);
  const stretches: { from: number; to: number }[] = [];
  for (const { start, length } of inOrder) {
    const last = stretches.at(-1);
    if (last !== undefined && start <= last.to) last.to = Math.max(last.to, start + length);
    else stretches.push({ from: start, to: start + length });
  }
  return { onsets: [...new Set(inOrder.map((note) => note.start))], stretches };
}

/** Index of the first onset at a place or after it. */
export function firstFrom(onsets: readonly number[], place: number): number {
  return firstReaching(onsets, (onset) => onset >= place);
}

function isHeard(place: number, { stretches }: LayerSound): boolean {
  const next = stretches[firstReaching(stretches, ({ to }) => to > place)];
  return next !== undefined && next.from <= place;
}

/** The onset of the beat that begins at `place`; in a held note that began a beat before or less, its onset; else the place itself, if something is heard. */
function heardPlace(place: number, beat: number, sound: LayerSound): number | undefined {
  const from = firstFrom(sound.onsets, place);
  const next = sound.onsets[from];
  if (next !== undefined && next < place + beat) return next;
  if (!isHeard(place, sound)) return undefined;
  const before = sound.onsets[from - 1];
  return before !== undefined && before >= place - beat ? before : place;
}

/**
 * Marks of one stretch of a layer, read beat by beat, at the notes they belong to. A level that is reached in a rest is said at
 * the next note before `until`, if there is one; a hairpin ends where the sound ends.
 */
export function standOnNotes(
  marks: readonly DynamicMark[],
  sound: LayerSound,
  until: number,
  time: ScoreTime,
): DynamicMark[] {
  const at = (place: number): number | undefined => {
    const heard = heardPlace(place, beatAt(time, place), sound);
    if (heard !== undefined) return heard;
    const next = sound.onsets[firstFrom(sound.onsets, place)];
    return next !== undefined && next < until ? next : undefined;
  };
  const placed: DynamicMark[] = [];
  for (const mark of marks) {
    const start = at(mark.start);
    if (start === undefined) continue;
    if (mark.kind === 'level') {
      const before = placed.at(-1);
      if (before?.kind === 'level' && before.start >= start) placed.pop();
      placed.push({ ...mark, start });
      continue;
    }
    const end =
      heardPlace(mark.end, beatAt(time, mark.end), sound) ??
      sound.stretches.findLast(({ to }) => to <= mark.end)?.to ??
      mark.end;
    if (end - start >= beatAt(time, start)) placed.push({ ...mark, start, end });
  }
  return placed;
}
