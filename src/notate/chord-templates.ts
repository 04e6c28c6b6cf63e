/** Chord qualities, their tones above the root, and how they are written. */
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

/**
 * Qualities that every style looks for. Costs by judgement, checked against human analyses of tonal music; the key of the moment adds its own,
 * see `chord-priors`.
 */
const COMMON_QUALITIES: readonly ChordQuality[] = [
  { name: 'major', suffix: '', romanSuffix: '', small: false, intervals: [0, 4, 7], fifths: [0, 4, 1], cost: 0 },
  { name: 'minor', suffix: 'm', romanSuffix: '', small: true, intervals: [0, 3, 7], fifths: [0, -3, 1], cost: 0 },
  {
    name: 'dominant-seventh',
    suffix: '7',
    romanSuffix: '7',
    small: false,
    intervals: [0, 4, 7, 10],
    fifths: [0, 4, 1, -2],
    cost: 0.07,
  },
  {
    name: 'minor-seventh',
    suffix: 'm7',
    romanSuffix: '7',
    small: true,
    intervals: [0, 3, 7, 10],
    fifths: [0, -3, 1, -2],
    cost: 0.4,
  },
  {
    name: 'diminished',
    suffix: 'dim',
    romanSuffix: 'o',
    small: true,
    intervals: [0, 3, 6],
    fifths: [0, -3, -6],
    cost: 0.36,
  },
  {
    name: 'half-diminished',
    suffix: 'm7b5',
    romanSuffix: 'ø7',
    small: true,
    intervals: [0, 3, 6, 10],
    fifths: [0, -3, -6, -2],
    cost: 0.4,
  },
  {
    name: 'diminished-seventh',
    suffix: 'dim7',
    romanSuffix: 'o7',
    small: true,
    intervals: [0, 3, 6, 9],
    fifths: [0, -3, -6, -9],
    cost: 0.4,
  },
  {
    name: 'major-seventh',
    suffix: 'maj7',
    romanSuffix: 'maj7',
    small: false,
    intervals: [0, 4, 7, 11],
    fifths: [0, 4, 1, 5],
    cost: 0.45,
  },
  {
    name: 'suspended-fourth',
    suffix: 'sus4',
    romanSuffix: 'sus4',
    small: false,
    intervals: [0, 5, 7],
    fifths: [0, -1, 1],
    cost: 0.7,
  },
  {
    name: 'augmented',
    suffix: 'aug',
    romanSuffix: '+',
    small: false,
    intervals: [0, 4, 8],
    fifths: [0, 4, 8],
    cost: 1.0,
  },
];

/** The chords of lead sheets, which only some styles look for. */
const LEAD_SHEET_QUALITIES: readonly ChordQuality[] = [
  {
    name: 'major-sixth',
    suffix: '6',
    romanSuffix: 'add6',
    small: false,
    intervals: [0, 4, 7, 9],
    fifths: [0, 4, 1, 3],
    cost: 0.45,
  },
  {
    name: 'minor-sixth',
    suffix: 'm6',
    romanSuffix: 'add6',
    small: true,
    intervals: [0, 3, 7, 9],
    fifths: [0, -3, 1, 3],
    cost: 0.6,
  },
  {
    name: 'suspended-seventh',
    suffix: '7sus4',
    romanSuffix: '7sus4',
    small: false,
    intervals: [0, 5, 7, 10],
    fifths: [0, -1, 1, -2],
    cost: 0.6,
  },
  {
    name: 'minor-major-seventh',
    suffix: 'mMaj7',
    romanSuffix: 'maj7',
    small: true,
    intervals: [0, 3, 7, 11],
    fifths: [0, -3, 1, 5],
    cost: 0.7,
  },
];

/** A chord as root pitch class and quality. */
export interface Template {
  readonly root: number;
  readonly quality: ChordQuality;
  /** 1 where the pitch class belongs to the chord. */
  readonly members: readonly number[];
}

/** All qualities over all roots, the common ones first. */
export const TEMPLATES: readonly Template[] = [...COMMON_QUALITIES, ...LEAD_SHEET_QUALITIES].flatMap((quality) =>
  Array.from({ length: 12 }, (_, root) => ({
    root,
    quality,
    members: Array.from({ length: 12 }, (__, pitchClass) =>
      quality.intervals.includes((pitchClass - root + 12) % 12) ? 1 : 0,
    ),
  })),
);

export const COMMON_TEMPLATES = 12 * COMMON_QUALITIES.length;
