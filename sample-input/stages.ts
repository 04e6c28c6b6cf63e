/** The four stages: which tracks, in which file, with which flaws. */
import { FLAWS } from './flaws.ts';
import * as ensemble from './ensemble.ts';
import { LEFT_HAND, LEFT_HAND_COMPLETE, TUNE, TUNE_COMPLETE } from './solo.ts';
import type { LevelChange, TrackPlan } from './perform.ts';

export interface StageFile {
  /** Path in the folder. */
  readonly path: string;
  readonly tracks: readonly TrackPlan[];
  /** Name of the first track, which has tempo, meter, keys and markers; absent where the file has none of them. */
  readonly conductor?: string;
  /** Names of tracks without notes. */
  readonly empty?: readonly string[];
}

export interface StagePlan {
  readonly name: string;
  readonly ticksPerQuarter: number;
  readonly offAsZero: boolean;
  readonly files: readonly StageFile[];
}

type Version = 'sketch' | 'strings' | 'winds' | 'complete';

function flawed(name: string, line: string, version: Version): string {
  if (version !== 'complete') return line;
  return [line, ...FLAWS.map((flaw) => flaw.music?.[name] ?? '')].join('\n');
}

/** Tutti that comes four bars too early (a flaw of the last stage). */
function early(modulation: number): LevelChange {
  return { from: 21, to: 24, modulation, expression: 118 };
}

function solo(version: Version): TrackPlan {
  const complete = version === 'complete';
  return {
    name: 'Piano solo',
    lines: complete ? [TUNE_COMPLETE, LEFT_HAND_COMPLETE] : [TUNE, LEFT_HAND],
    touch: 'piano',
    channel: 0,
    program: 0,
    volume: 112,
    lean: 0,
    changes: complete ? [{ from: 21, to: 24, strength: 0.34 }] : [],
  };
}

function strings(version: Version): TrackPlan[] {
  const complete = version === 'complete';
  return [
    {
      name: 'Violin I legato',
      lines: [flawed('Violin I legato', ensemble.VIOLIN_I, version)],
      touch: 'bowed',
      channel: 1,
      program: 40,
      volume: 100,
      lean: 4,
      fromNothing: [5, 9, 33],
      keySwitch: { midi: 12, beforeBars: [5, 33] },
      changes: complete ? [{ from: 9, to: 12, modulation: 32 }, early(70)] : [],
    },
    {
      name: 'Violin I pizz',
      lines: [ensemble.VIOLIN_I_PIZZ],
      touch: 'plucked',
      channel: 2,
      program: 45,
      volume: 96,
      lean: 0,
      keySwitch: { midi: 13, beforeBars: [29] },
    },
    {
      name: 'Violin II',
      lines: [flawed('Violin II', complete ? ensemble.VIOLIN_II_COMPLETE : ensemble.VIOLIN_II, version)],
      touch: 'bowed',
      channel: 3,
      program: 40,
      volume: 96,
      lean: -3,
      fromNothing: [5, 9, 29],
      changes: complete ? [{ from: 9, to: 12, modulation: 78 }, early(63)] : [],
    },
    {
      // No program: the name is all there is to go by.
      name: 'Vla.',
      lines: [ensemble.VIOLA],
      touch: 'bowed',
      channel: 4,
      volume: 98,
      lean: -2,
      fromNothing: [5, 9, 29],
      latenessMs: complete ? 55 : 0,
      keySwitch: { midi: 12, beforeBars: [5] },
      changes: complete ? [early(64)] : [],
    },
    {
      name: 'Violoncello',
      lines: [complete ? ensemble.CELLO_COMPLETE : ensemble.CELLO],
      touch: 'bowed',
      channel: 5,
      program: 42,
      volume: 98,
      lean: -2,
      fromNothing: [5, 9, 29],
      changes: complete ? [early(63)] : [],
    },
    {
      name: 'Kontrabass',
      lines: [ensemble.DOUBLE_BASS],
      touch: 'bowed',
      channel: 6,
      program: 43,
      volume: 94,
      lean: -6,
      fromNothing: [9, 21, 33, 46],
      changes: complete ? [early(58)] : [],
    },
  ];
}

function winds(version: Version): TrackPlan[] {
  const complete = version === 'complete';
  return [
    {
      name: 'Flöte',
      lines: [flawed('Flöte', complete ? ensemble.FLUTE_COMPLETE : ensemble.FLUTE, version)],
      touch: 'blown',
      channel: 7,
      program: 73,
      volume: 88,
      lean: -10,
    },
    {
      // The program is that of an oboe: name and program disagree.
      name: 'Clarinet in Bb',
      lines: [ensemble.CLARINET],
      touch: 'blown',
      channel: 8,
      program: 68,
      volume: 92,
      lean: -5,
      fromNothing: [13, 17, 45],
    },
    {
      name: 'Fagott',
      lines: [flawed('Fagott', complete ? ensemble.BASSOON_COMPLETE : ensemble.BASSOON, version)],
      touch: 'blown',
      channel: 10,
      program: 70,
      volume: 88,
      lean: -8,
      fromNothing: [13, 46],
    },
  ];
}

const HORN: TrackPlan = {
  name: 'Horn in F',
  lines: [ensemble.HORN],
  touch: 'blown',
  channel: 11,
  program: 60,
  volume: 80,
  lean: -12,
  fromNothing: [47],
  changes: [{ from: 25, to: 28, expression: 0 }],
};

const TIMPANI: TrackPlan = {
  name: 'Timpani',
  lines: [ensemble.TIMPANI],
  touch: 'struck',
  channel: 12,
  program: 47,
  volume: 84,
  lean: -6,
};

export const STAGES: readonly StagePlan[] = [
  {
    name: '01 Solo sketch',
    ticksPerQuarter: 480,
    offAsZero: true,
    files: [{ path: '01 Solo sketch.mid', conductor: 'Ferry Lights', tracks: [solo('sketch')], empty: ['Click'] }],
  },
  {
    name: '02 Strings',
    ticksPerQuarter: 960,
    offAsZero: false,
    files: [solo('strings'), ...strings('strings')].map((track, index) => {
      const path = `02 Strings/${String(index + 1).padStart(2, '0')} ${track.name.replace(/\.$/, '')}.mid`;
      return index === 0 ? { path, conductor: 'Tempo', tracks: [track] } : { path, tracks: [track] };
    }),
  },
  {
    name: '03 Winds',
    ticksPerQuarter: 480,
    offAsZero: true,
    files: [
      {
        path: '03 Winds.mid',
        conductor: 'Ferry Lights',
        tracks: [solo('winds'), ...strings('winds'), ...winds('winds')],
      },
    ],
  },
  {
    name: '04 Complete',
    ticksPerQuarter: 960,
    offAsZero: false,
    files: [
      {
        path: '04 Complete.mid',
        conductor: 'Ferry Lights',
        tracks: [solo('complete'), ...strings('complete'), ...winds('complete'), HORN, TIMPANI],
        empty: ['Chords (old)'],
      },
    ],
  },
];
