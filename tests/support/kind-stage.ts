/** The last stage of a folder of kinds, read and assembled, with the truth behind each of its notes. */
import type { Part, Stage } from '../../src/model/music/arrangement.ts';
import type { KindFolder, TrueNote } from '../kinds/kind.ts';
import { diskOfFolder } from './memory-disk.ts';
import { currentStageIn } from './read-stages.ts';
import type { TrueValue } from './rhythm-truth.ts';

/** The current stage, its timing drawn from this seed. Throws where the folder has none. */
export function stageOfKind({ id, files }: KindFolder, seed = 1): Promise<Stage> {
  return currentStageIn(`/${id}`, diskOfFolder(`/${id}`, files(seed)));
}

/**
 * What was written for each note of a part; the notes of one key of a track are in the order in which they were written. Undefined where a
 * track has other notes than its truth.
 */
export function truthsOfPart(part: Part, notes: readonly TrueNote[]): (TrueValue | undefined)[] {
  const waiting = new Map<string, TrueNote[]>();
  const keyOf = (track: string, midi: number): string => `${track}\n${String(midi)}`;
  for (const note of [...notes].sort((a, b) => a.start - b.start)) {
    const key = keyOf(note.track, note.midi);
    const list = waiting.get(key);
    if (list === undefined) waiting.set(key, [note]);
    else list.push(note);
  }
  const played = new Map<string, number>();
  const keys = part.notes.map(({ midi, trackIndex }) => keyOf(part.tracks[trackIndex]?.name ?? '', midi));
  for (const key of keys) played.set(key, (played.get(key) ?? 0) + 1);
  const at = new Map<string, number>();
  return keys.map((key): TrueValue | undefined => {
    const place = at.get(key) ?? 0;
    at.set(key, place + 1);
    const list = waiting.get(key) ?? [];
    const note = list.length === played.get(key) ? list[place] : undefined;
    return note === undefined ? undefined : { start: note.start, line: note.track, ...asCopied(note) };
  });
}

/** A dotted value that is cut short is printed as the plain value and a rest: three eighths played short are a quarter and an eighth rest (common practice, no source). */
function asCopied({ length, short }: TrueNote): { readonly length: number; readonly short: boolean } {
  const isDotted = [0.75, 1.5, 3].some((value) => Math.abs(length - value) < 1e-6);
  return short === true && isDotted ? { length: (length * 2) / 3, short: false } : { length, short: short === true };
}
