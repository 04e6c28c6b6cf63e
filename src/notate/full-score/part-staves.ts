/** The staves of one part of a full score, bar by bar, as its player or the reader of a score in C reads them. */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Clef } from '../../model/music/instrument.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { Style } from '../../model/music/style.ts';
import type { StaffBar, WrittenNote } from '../../model/music/written.ts';
import { clefsOfStaff } from '../clefs-and-signatures/clefs.ts';
import { hasTwoStaves } from '../voices/hands.ts';
import { staffBars } from './part-bars.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import type { PitchInterval } from '../keys/written-pitch.ts';
import { UNISON, concertIntervalOf, intervalOf, writtenPitch, writtenSignature } from '../keys/written-pitch.ts';

/** As the players read it, or at concert pitch, where only whole octaves are transposed. */
export type ScoreReading = 'written' | 'concert';

export interface PartStavesBar {
  /** Signature as it is read. */
  readonly fifths: number;
  /** Sounding minus written. */
  readonly interval: PitchInterval;
  /** One item a staff, with clef and voices. */
  readonly staves: readonly StaffBar[];
}

export interface PartStavesOptions {
  readonly reading: ScoreReading;
  readonly style: Style;
  /** Whether a pitch can be written; what cannot is left out. */
  readonly canWrite?: (pitch: SpelledPitch) => boolean;
}

/** Bands do not write what plays low in the tenor clef (common practice, no source). */
const WITHOUT_TENOR_CLEF: ReadonlySet<Style> = new Set<Style>(['jazz', 'song']);

const BY_A_NINTH = 14;
/** What lies below this key on the whole needs three ledger lines under the treble staff. */
const LOW_IN_TREBLE = 57;

/** 0 where there are no notes. */
function meanOf(notes: readonly WrittenNote[]): number {
  return notes.reduce((sum, note) => sum + note.midi, 0) / Math.max(1, notes.length);
}

/**
 * Clefs that a staff may have, the usual one first. At concert pitch a transposing instrument may sound far below the treble clef that its
 * player reads: a horn of a brass band is then read in the bass clef, one clef throughout, since nobody changes clefs for him.
 */
function clefChoices(
  part: Part,
  staff: number,
  staffCount: number,
  notes: readonly WrittenNote[],
  { reading, style }: PartStavesOptions,
): readonly Clef[] {
  if (part.unpitched) return ['percussion'];
  if (staff === 3) return ['bass'];
  if (staffCount > 1) return staff === 1 ? ['treble', 'bass'] : ['bass', 'treble'];
  const clefs = new Set(instrumentById(part.instrument)?.clefs ?? []);
  if (clefs.size > 1 && WITHOUT_TENOR_CLEF.has(style)) clefs.delete('tenor');
  const movedBy = concertIntervalOf(part).chromatic - intervalOf(part).chromatic;
  const soundsLow = movedBy >= BY_A_NINTH || (movedBy > 0 && part.family === 'brass');
  if (reading === 'concert' && soundsLow && clefs.has('treble') && !clefs.has('bass')) {
    return [notes.length > 0 && meanOf(notes) < LOW_IN_TREBLE ? 'bass' : 'treble'];
  }
  if (clefs.size > 0) return [...clefs];
  return notes.length > 0 && meanOf(notes) < 60 ? ['bass', 'treble'] : ['treble', 'bass'];
}

/** Bars of a part, parallel to those of `time`; `signatures` are the sounding ones by bar index. */
export function partStaves(
  part: Part,
  notes: readonly WrittenNote[],
  time: ScoreTime,
  signatures: readonly number[],
  options: PartStavesOptions,
): readonly PartStavesBar[] {
  const { reading, canWrite } = options;
  const staffCount = notes.reduce((most, note) => Math.max(most, note.staff), hasTwoStaves(part) ? 2 : 1);
  const interval = reading === 'concert' ? concertIntervalOf(part) : intervalOf(part);
  const readings = signatures.map((fifths) =>
    part.unpitched ? { fifths: 0, interval: UNISON } : writtenSignature(fifths, interval),
  );
  const read = (sounding: SpelledPitch, bar: number): SpelledPitch | undefined => {
    const pitch = writtenPitch(sounding, readings[bar]?.interval ?? interval);
    return part.unpitched || canWrite === undefined || canWrite(pitch) ? pitch : undefined;
  };
  const staves = Array.from({ length: staffCount }, (_, index): StaffBar[] => {
    const own = notes.filter((note) => note.staff === index + 1);
    const bars = staffBars(own, time, read);
    const clefs = clefsOfStaff(
      time.bars,
      bars,
      clefChoices(part, index + 1, staffCount, own, options),
      staffCount > 1 ? 'braced' : 'alone',
    );
    return bars.map((voices, bar) => ({ clef: 'treble', ...clefs[bar], voices }));
  });
  return readings.map((one, bar) => ({
    ...one,
    staves: staves.map((staff) => staff[bar] ?? { clef: 'treble', voices: [] }),
  }));
}
