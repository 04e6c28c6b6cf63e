/** What the drums play, told in words in the short score. How beats are counted: common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { ScoreBar } from '../../src/model/music/written.ts';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

/** Keys of the percussion map by name of pitch: bass drum, snare, closed hi-hat, ride, crash, low floor tom. */
const KEYS = { bass: 'C2', snare: 'D2', hat: 'F#2', ride: 'Eb3', crash: 'Db3', tom: 'F2' } as const;
type Strokes = Partial<Record<keyof typeof KEYS, readonly number[]>>;

const EIGHTHS = [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5];
const ROCK: Strokes = { hat: EIGHTHS, snare: [1, 3], bass: [0, 2] };

function barsWith(strokes: readonly Strokes[]): readonly ScoreBar[] {
  const timeline = timelineOf(strokes.length);
  const notes = strokes.flatMap((bar, index) =>
    Object.entries(bar).flatMap(([name, places]) =>
      places.map((place) => `${KEYS[name as keyof typeof KEYS]}:${String(4 * index + place)}:0.25`),
    ),
  );
  const long = (pitch: string): string => strokes.map((_, bar) => `${pitch}:${String(4 * bar)}:4`).join(' ');
  const stage = stageOf(
    [
      partOf('voice', long('C5'), timeline, { role: 'foreground' }),
      partOf('guitar', long('E3'), timeline),
      partOf('percussion-unpitched', notes.join(' '), timeline, { unpitched: true, name: 'Kit', abbreviation: 'Kit' }),
    ],
    timeline,
  );
  const score = notateStage(stage).reduced;
  expect(checkScore(score)).toEqual([]);
  return score.bars;
}

/** Grooves by the number of the bar over which they stand. */
function grooves(strokes: readonly Strokes[]): [number, string][] {
  return barsWith(strokes).flatMap(({ number, names }) =>
    names.filter(({ text }) => text.startsWith('Kit: ')).map(({ text }): [number, string] => [number, text]),
  );
}

function times(count: number, bar: Strokes): Strokes[] {
  return Array.from({ length: count }, () => bar);
}

describe('the groove of the drums', () => {
  it('is told once where it begins: cymbals by their value, drums by the beats that they are struck on', () => {
    expect(grooves(times(8, ROCK))).toEqual([[1, 'Kit: hi-hat eighths, snare 2 4, bass drum 1 3']]);
  });

  it('is told again where another takes its place for bars, at the bar where that begins', () => {
    const half: Strokes = { ride: [0, 1, 2, 3], snare: [2], bass: [0, 2.5] };
    expect(grooves([...times(4, ROCK), ...times(4, half)])).toEqual([
      [1, 'Kit: hi-hat eighths, snare 2 4, bass drum 1 3'],
      [5, 'Kit: ride quarters, snare 3, bass drum 1 3+'],
    ]);
  });

  it('is no other one for a fill, a crash or a bar of variation', () => {
    const fill: Strokes = { hat: [0, 0.5, 1, 1.5], tom: [2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 3.75], bass: [0] };
    const crashed: Strokes = { ...ROCK, hat: EIGHTHS.slice(1), crash: [0] };
    expect(grooves([crashed, ...times(2, ROCK), fill, crashed, ...times(3, ROCK)])).toHaveLength(1);
  });

  it('between the beats is counted: offbeats, the fourths of a beat', () => {
    const ska: Strokes = { hat: [0.5, 1.5, 2.5, 3.5], bass: [0, 1.75] };
    expect(grooves(times(4, ska))).toEqual([[1, 'Kit: hi-hat offbeats, bass drum 1 2a']]);
  });

  it('is nothing where no bar is like another', () => {
    const bars = [[0], [1], [2], [3], [0.5], [1.5]].map((snare): Strokes => ({ snare }));
    expect(grooves(bars)).toEqual([]);
  });
});

it('the drums of a large ensemble enter over the rhythm section, not over the choir at the top of the score', () => {
  const timeline = timelineOf(8);
  const line = (pitches: readonly string[], length: number): string =>
    pitches.map((pitch, place) => `${pitch}:${String(place * length)}:${String(length)}`).join(' ');
  const eight = (pitch: string): string[] => Array.from({ length: 32 }, () => pitch);
  const saxes = ['A4', 'F4', 'D4', 'C4'].map((pitch, index) =>
    partOf('sax-alto', line(eight(pitch), 1), timeline, {
      id: `sax-${String(index)}`,
      name: `Alto ${String(index + 1)}`,
    }),
  );
  const brass = ['F5', 'D5', 'Bb4', 'G4'].map((pitch, index) =>
    partOf(
      'trumpet-bflat',
      line(
        Array.from({ length: 8 }, () => pitch),
        4,
      ),
      timeline,
      {
        id: `tpt-${String(index)}`,
        name: `Trumpet ${String(index + 1)}`,
      },
    ),
  );
  const stage = stageOf(
    [
      ...saxes,
      ...brass,
      partOf('percussion-unpitched', line(eight('D2'), 1), timeline, {
        unpitched: true,
        name: 'Kit',
        abbreviation: 'Kit',
      }),
      partOf('piano', line(eight('C3'), 0.5), timeline),
      partOf('guitar', line(eight('E3'), 1), timeline),
      partOf('double-bass', line(eight('C2'), 1), timeline),
    ],
    timeline,
    { staves: 6 },
  );
  const { staves, bars } = notateStage(stage).reduced;
  const cue = bars[0]?.cues.find(({ text }) => text.includes('Kit'));
  const [groove] = bars[0]?.names.filter(({ text }) => text.startsWith('Kit: ')) ?? [];
  expect(staves.length).toBeGreaterThan(3);
  expect(groove?.text).toBe('Kit: snare quarters');
  for (const said of [cue, groove]) expect(staves[said?.staff ?? 0]?.id).toMatch(/rhythm|keyboards|plucked/);
});
