/** Chord qualities, their tones above the root, and how they are written. */
import { ChordType, Interval } from 'tonal';

export interface ChordQuality {
  readonly name: string;
  /** Suffix of the symbol, ASCII. */
  readonly suffix: string;
  /** Suffix of the Roman numeral. */
  readonly romanSuffix: string;
  readonly small: boolean;
  /** Semitones above the root, root first. */
  readonly intervals: readonly number[];
  /** The same tones as places on the line of fifths above the root: how they are spelled. */
  readonly fifths: readonly number[];
  /** What choosing it costs beside a plain triad; rarer chords must earn their label. */
  readonly cost: number;
}

/** A quality before its tones are looked up: `tonal` knows them under the symbol. */
type Named = Omit<ChordQuality, 'intervals' | 'fifths'>;

function withTones(named: Named): ChordQuality {
  const tones = ChordType.get(named.suffix).intervals.map(Interval.get);
  return {
    ...named,
    intervals: tones.map(({ semitones }) => semitones),
    fifths: tones.map(({ coord }) => coord[0]),
  };
}

/**
 * Qualities that every style looks for. Costs by judgement, checked against human analyses of tonal music; the key of the moment adds its own,
 * see `chord-priors`.
 */
const COMMON_QUALITIES: readonly Named[] = [
  { name: 'major', suffix: '', romanSuffix: '', small: false, cost: 0 },
  { name: 'minor', suffix: 'm', romanSuffix: '', small: true, cost: 0 },
  { name: 'dominant-seventh', suffix: '7', romanSuffix: '7', small: false, cost: 0.07 },
  { name: 'minor-seventh', suffix: 'm7', romanSuffix: '7', small: true, cost: 0.4 },
  { name: 'diminished', suffix: 'dim', romanSuffix: 'o', small: true, cost: 0.36 },
  { name: 'half-diminished', suffix: 'm7b5', romanSuffix: 'ø7', small: true, cost: 0.4 },
  { name: 'diminished-seventh', suffix: 'dim7', romanSuffix: 'o7', small: true, cost: 0.4 },
  { name: 'major-seventh', suffix: 'maj7', romanSuffix: 'maj7', small: false, cost: 0.45 },
  { name: 'suspended-fourth', suffix: 'sus4', romanSuffix: 'sus4', small: false, cost: 0.7 },
  { name: 'augmented', suffix: 'aug', romanSuffix: '+', small: false, cost: 1 },
];

/** The chords of lead sheets, which only some styles look for. */
const LEAD_SHEET_QUALITIES: readonly Named[] = [
  { name: 'major-sixth', suffix: '6', romanSuffix: 'add6', small: false, cost: 0.45 },
  { name: 'minor-sixth', suffix: 'm6', romanSuffix: 'add6', small: true, cost: 0.6 },
  { name: 'suspended-seventh', suffix: '7sus4', romanSuffix: '7sus4', small: false, cost: 0.6 },
  { name: 'minor-major-seventh', suffix: 'mMaj7', romanSuffix: 'maj7', small: true, cost: 0.7 },
];

/** A chord as root pitch class and quality. */
export interface Template {
  readonly root: number;
  readonly quality: ChordQuality;
  /** 1 where the pitch class belongs to the chord. */
  readonly members: readonly number[];
}

/** All qualities over all roots, the common ones first. */
export const TEMPLATES: readonly Template[] = [...COMMON_QUALITIES, ...LEAD_SHEET_QUALITIES]
  .map(withTones)
  .flatMap((quality) =>
    Array.from({ length: 12 }, (_, root) => ({
      root,
      quality,
      members: Array.from({ length: 12 }, (__, pitchClass) =>
        quality.intervals.includes((pitchClass - root + 12) % 12) ? 1 : 0,
      ),
    })),
  );

export const COMMON_TEMPLATES = 12 * COMMON_QUALITIES.length;
