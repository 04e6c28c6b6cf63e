/** Which clefs the staff of a part may have, by instrument, style and reading; `choose-clefs` chooses among them and changes them. */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import { mean } from '../../model/music/dynamics.ts';
import type { Clef } from '../../model/music/instrument.ts';
import type { Style } from '../../model/music/style.ts';
import type { WrittenNote } from '../../model/music/written.ts';
import { concertIntervalOf, intervalOf } from '../keys/written-pitch.ts';

/** As the players read it, or at concert pitch, where only whole octaves are transposed. */
export type ScoreReading = 'written' | 'concert';

/** Bands do not write what plays low in the tenor clef (common practice, no source). */
const WITHOUT_TENOR_CLEF: ReadonlySet<Style> = new Set<Style>(['jazz', 'song']);

/** From this key on, that of the first ledger line above the bass staff, a trombone lives above it. */
const MIDDLE_C = 60;

const BY_A_NINTH = 14;
/** What lies below this key on the whole needs three ledger lines under the treble staff. */
const LOW_IN_TREBLE = 57;

/**
 * Clefs that a staff may have, the usual one first. At concert pitch a transposing instrument may sound far below the treble clef that its
 * player reads: a horn of a brass band is then read in the bass clef, one clef throughout, since nobody changes clefs for him.
 */
export function allowedClefs(
  part: Part,
  staff: number,
  staffCount: number,
  notes: readonly WrittenNote[],
  { reading, style }: { readonly reading: ScoreReading; readonly style: Style },
): readonly Clef[] {
  if (part.unpitched) return ['percussion'];
  if (staff === 3) return ['bass'];
  if (staffCount > 1) return staff === 1 ? ['treble', 'bass'] : ['bass', 'treble'];
  // The right hand of an accordion alone.
  if (part.instrument === 'accordion') return ['treble'];
  const isBelow = (key: number): boolean => notes.length > 0 && mean(notes.map(({ midi }) => midi)) < key;
  const clefs = new Set(instrumentById(part.instrument)?.clefs ?? []);
  if (clefs.size > 1 && WITHOUT_TENOR_CLEF.has(style)) clefs.delete('tenor');
  // A trombone reads one clef throughout, the tenor clef where its part lies above the bass staff on the whole (common practice, no source).
  if (part.instrument === 'trombone-tenor' && clefs.size > 1) return [isBelow(MIDDLE_C) ? 'bass' : 'tenor'];
  const movedBy = concertIntervalOf(part).chromatic - intervalOf(part).chromatic;
  const soundsLow = movedBy >= BY_A_NINTH || (movedBy > 0 && part.family === 'brass');
  if (reading === 'concert' && soundsLow && clefs.has('treble') && !clefs.has('bass')) {
    return [isBelow(LOW_IN_TREBLE) ? 'bass' : 'treble'];
  }
  if (clefs.size > 0) return [...clefs];
  return isBelow(MIDDLE_C) ? ['bass', 'treble'] : ['treble', 'bass'];
}
