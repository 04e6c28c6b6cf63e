/** The staves of one part of a full score, bar by bar, as its player or the reader of a score in C reads them. */
import type { Part } from '../../model/music/arrangement.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { Style } from '../../model/music/style.ts';
import type { StaffBar, WrittenNote } from '../../model/music/written.ts';
import type { ScoreReading } from '../clefs-and-signatures/allowed-clefs.ts';
import { allowedClefs } from '../clefs-and-signatures/allowed-clefs.ts';
import { clefsOfStaff } from '../clefs-and-signatures/choose-clefs.ts';
import { hasTwoStaves } from '../voices/hands.ts';
import { staffBars } from './part-bars.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import type { PitchInterval } from '../keys/written-pitch.ts';
import { UNISON, concertIntervalOf, intervalOf, writtenPitch, writtenSignature } from '../keys/written-pitch.ts';

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
      allowedClefs(part, index + 1, staffCount, own, options),
      staffCount > 1 ? 'braced' : 'alone',
    );
    return bars.map((voices, bar) => ({ clef: 'treble', ...clefs[bar], voices }));
  });
  return readings.map((one, bar) => ({
    ...one,
    staves: staves.map((staff) => staff[bar] ?? { clef: 'treble', voices: [] }),
  }));
}
