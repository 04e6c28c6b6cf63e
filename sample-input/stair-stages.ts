/** The four stages of *The Salt Stair*, each a folder with one file a part, underscores for spaces, and the whole tempo map in every file. */
import type { LevelChange, TrackPlan } from './perform.ts';
import { STAIR_FLAWS } from './stair-flaws.ts';
import * as music from './stair-music.ts';
import type { StagePlan } from './stages.ts';

type Version = 'sketch' | 'quartet' | 'first reading' | 'second reading';

function line(name: string, text: string, version: Version): string {
  if (version !== 'first reading') return text;
  return [text, ...STAIR_FLAWS.map((flaw) => flaw.music?.[name] ?? '')].join('\n');
}

function changes(version: Version, change: LevelChange): readonly LevelChange[] {
  return version === 'first reading' ? [change] : [];
}

function sketch(version: Version): TrackPlan[] {
  const hasQuartet = version !== 'sketch';
  const hasDance = version === 'first reading' || version === 'second reading';
  const viola = hasDance ? music.VIOLA_DANCE : music.VIOLA;
  return [
    {
      name: 'Clarinetto in La',
      lines: [line('Clarinetto in La', music.CLARINET, version)],
      touch: 'blown',
      channel: 0,
      program: 71,
      volume: 110,
      lean: 12,
      changes: changes(version, { from: 25, to: 37, modulation: 104 }),
    },
    {
      name: 'Viola',
      lines: [line('Viola', hasQuartet ? viola : music.VIOLA_TUNE, version)],
      touch: 'bowed',
      channel: 3,
      program: 41,
      volume: 104,
      lean: 0,
      fromNothing: [9],
      // In front it plays out, behind the clarinet it stays back.
      changes: [
        { from: 9, to: 16, modulation: 26 },
        { from: 25, to: 40, modulation: 26 },
      ],
    },
    {
      name: 'Arpa',
      lines: [line('Arpa', music.HARP, version)],
      touch: 'plucked',
      channel: 5,
      program: 46,
      volume: 92,
      lean: 0,
      latenessMs: hasDance ? 50 : 0,
    },
  ];
}

function others(version: Version): TrackPlan[] {
  const hasDance = version === 'first reading' || version === 'second reading';
  return [
    {
      name: 'Violino I',
      lines: [line('Violino I', hasDance ? music.VIOLIN_I_DANCE : music.VIOLIN_I, version)],
      touch: 'bowed',
      channel: 1,
      program: 40,
      volume: 92,
      lean: -14,
      fromNothing: [9, 17],
    },
    {
      name: 'Violino II',
      lines: [line('Violino II', hasDance ? music.VIOLIN_II_DANCE : music.VIOLIN_II, version)],
      touch: 'bowed',
      channel: 2,
      program: 40,
      volume: 90,
      lean: -16,
      fromNothing: [9, 17],
    },
    {
      name: 'Violoncello',
      lines: [line('Violoncello', music.CELLO, version)],
      touch: 'bowed',
      channel: 4,
      program: 42,
      volume: 94,
      lean: -14,
      fromNothing: [5],
      changes: changes(version, { from: 5, to: 8, expression: 0 }),
    },
  ];
}

/** From the top of the score to the bottom. */
const ORDER: readonly string[] = ['Clarinetto in La', 'Arpa', 'Violino I', 'Violino II', 'Viola', 'Violoncello'];

function stage(name: string, version: Version, ticksPerQuarter: number, offAsZero: boolean): StagePlan {
  const plans = version === 'sketch' ? sketch(version) : [...sketch(version), ...others(version)];
  const tracks = plans.sort((a, b) => ORDER.indexOf(a.name) - ORDER.indexOf(b.name));
  const files = tracks.map((track, index) => ({
    path: `${name}/${String(index + 1).padStart(2, '0')} ${track.name}.mid`.replaceAll(' ', '_'),
    conductor: 'Tempo',
    tracks: [track],
  }));
  return { name, ticksPerQuarter, offAsZero, files };
}

export const STAIR_STAGES: readonly StagePlan[] = [
  stage('1 Sketch', 'sketch', 480, false),
  stage('2 Quartet', 'quartet', 480, false),
  stage('3 First reading', 'first reading', 960, true),
  stage('4 Second reading', 'second reading', 960, true),
];
