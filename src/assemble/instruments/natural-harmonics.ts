/** In which octave a horn's crook sounds where its name does not say: as the open harmonics tell. */
import type { RawNote } from '../../read/raw.ts';
import type { SourceTrack } from '../names/source-track.ts';
import type { InstrumentKey, KeyedTransposition } from '../names/transposing-key.ts';
import { transpositionInKey } from '../names/transposing-key.ts';

/** Harmonics 2 to 16 as they are written, the 11th as F and F sharp (acoustics; common practice, no source). */
const OPEN_HARMONICS: ReadonlySet<number> = new Set([48, 55, 60, 64, 67, 70, 72, 74, 76, 77, 78, 79, 81, 82, 83, 84]);
/** So much of a part for natural horn is open, here and there a note is stopped. */
const OPEN_SHARE = 0.98;
/** Where the higher crook has fewer open notes than this, the part was not written for it. */
const TOO_FEW_OPEN = 0.9;
/** Fewer notes tell nothing. */
const FEWEST_NOTES = 8;

function openShare(notes: readonly RawNote[], semitones: number): number {
  return notes.filter(({ midi }) => OPEN_HARMONICS.has(midi - semitones)).length / notes.length;
}

/** Whether two tracks are desks of one pair: the same words and the same key. */
function isSamePair({ reading: one }: SourceTrack, { reading: other }: SourceTrack): boolean {
  return one.matched === other.matched && one.key?.step === other.key?.step && one.key?.alter === other.key?.alter;
}

/**
 * Transposition of a track's instrument in a key. Horns in B flat stand alto or basso (those in A are high unless their name says otherwise); where
 * the name leaves that open they are taken for the higher ones, unless the notes of the pair are open on the lower ones alone.
 */
export function transpositionOfTrack(
  instrument: string,
  key: InstrumentKey,
  track: SourceTrack,
  tracks: readonly SourceTrack[],
): KeyedTransposition | undefined {
  const usual = transpositionInKey(instrument, key);
  const low = transpositionInKey(instrument, { ...key, octave: 'basso' });
  const isOpen = key.step === 'B' && key.octave === undefined;
  if (usual === undefined || low === undefined || !isOpen || low.semitones === usual.semitones) return usual;
  const notes = tracks.filter((other) => isSamePair(track, other)).flatMap(({ raw }) => raw.notes);
  if (notes.length < FEWEST_NOTES) return usual;
  const isLow = openShare(notes, low.semitones) >= OPEN_SHARE && openShare(notes, usual.semitones) < TOO_FEW_OPEN;
  return isLow ? low : usual;
}
