/**
 * Dynamics read from velocity and controllers. Marks are 16 settings apart, pp 33 to ff 113 (common practice, no source; MusicXML 4.0 takes 90
 * for a forte).
 */
import { describe, expect, it } from 'vitest';
import type { ControllerCurve, Part } from '../../src/model/music/arrangement.ts';
import type { DynamicMark } from '../../src/model/music/written.ts';
import { drawnHairpins } from '../../src/notate/dynamics/drawn-hairpins.ts';
import { dynamicPath } from '../../src/notate/dynamics/dynamic-path.ts';
import { partDynamics } from '../../src/notate/dynamics/dynamic-marks.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { stairArrangement } from '../sample/stair-support.ts';
import { sampleArrangement } from '../support/sample-truth.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

const BARS = 12;
const timeline = timelineOf(BARS);

/** One note a quarter, each with the velocity of its bar. */
function beats(velocities: readonly number[], pitch = 'C5'): string {
  return velocities
    .flatMap((velocity, bar) => [0, 1, 2, 3].map((beat) => `${pitch}:${String(bar * 4 + beat)}:1:${String(velocity)}`))
    .join(' ');
}

function text(mark: DynamicMark): string {
  const place = (divisions: number): string =>
    `${String(Math.floor(divisions / 1920) + 1)}.${String((divisions % 1920) / 480 + 1)}`;
  return mark.kind === 'level'
    ? `${place(mark.start)} ${mark.level}`
    : `${place(mark.start)}-${place(mark.end)} ${mark.direction === 'crescendo' ? '<' : '>'}`;
}

function marksOf(parts: readonly Part[], staff = 0): string[] {
  const { reduced } = notateStage(stageOf(parts, timeline));
  return reduced.bars.flatMap((bar) => bar.dynamics.filter((mark) => mark.staff === staff).map(text));
}

function curve(controller: number, points: readonly (readonly [number, number])[]): ControllerCurve {
  return {
    controller,
    points: points.map(([quarters, setting]) => ({ quarters, setting })),
    settingBefore: controller === 11 ? 127 : 0,
  };
}

const repeat = (velocity: number, count: number): number[] => Array.from({ length: count }, () => velocity);

describe('dynamics from velocity', () => {
  it('are one mark where the level changes, and none between', () => {
    expect(marksOf([partOf('piano', beats([...repeat(49, 6), ...repeat(97, 6)]), timeline)])).toEqual([
      '1.1 p',
      '7.1 f',
    ]);
  });

  it('ignore the unevenness of a hand: four settings up and down change nothing', () => {
    const uneven = Array.from(
      { length: BARS * 4 },
      (_, beat) => `C5:${String(beat)}:1:${String(65 + (beat % 3) * 4 - 4)}`,
    );
    expect(marksOf([partOf('piano', uneven.join(' '), timeline)])).toEqual(['1.1 mp']);
  });

  it('are not made up where all notes were entered alike', () => {
    expect(marksOf([partOf('piano', beats(repeat(80, BARS)), timeline)])).toEqual([]);
  });

  it('of a steady rise are a hairpin from mark to mark', () => {
    const rising = [...repeat(33, 4), 45, 61, 77, 93, ...repeat(97, 4)];
    const marks = marksOf([partOf('piano', beats(rising), timeline)]);
    expect(marks.map((mark) => mark.split(' ')[1])).toEqual(['pp', '<', 'f']);
  });

  // Common practice, no source: what changes at once after a breath is a new mark, not a hairpin over it.
  it('of a phrase that is softer after a breath are a mark at its bar line, though the one before had sunk a little', () => {
    const before = [93, 97, 95, 93, 92, 91, 90, 89, 88];
    const after = [74, 72, 74, 72, 66, 68, 66, 68, 66, 68, 66, 68, 66, 68, 66, 68];
    const note = (beat: number, velocity: number): string => `C5:${String(beat)}:1:${String(velocity)}`;
    const music = [
      ...before.map((velocity, beat) => note(3 + beat, velocity)),
      ...after.map((velocity, beat) => note(16 + beat, velocity)),
    ];
    const soft = ['C5:0:1:97', 'C5:1:1:98', 'C5:2:1:98', ...music, 'C5:12:1:88', 'C5:13:1:88', 'C5:14:1:88'];
    expect(marksOf([partOf('trumpet', soft.join(' '), timeline)])).toEqual(['1.1 f', '5.1 mp']);
  });

  it('are those of the tune where a keyboard leads, not of its left hand', () => {
    const tune = beats([...repeat(97, 6), ...repeat(49, 6)]);
    const below = Array.from({ length: BARS * 4 }, (_, beat) => `C3:${String(beat)}:1:${beat % 2 === 0 ? '40' : '45'}`);
    expect(marksOf([partOf('piano', `${tune} ${below.join(' ')}`, timeline)])).toEqual(['1.1 f', '7.1 p']);
  });
});

describe('dynamics from controllers', () => {
  const held = 'G4:0:16 A4:16:16 G4:32:16';

  it('of a sustaining part come from controller 1 where that shapes it', () => {
    const swell: [number, number][] = Array.from({ length: 17 }, (_, index) => [16 + index, 33 + index * 4]);
    const strings = partOf('violin', held, timeline, { dynamics: 'cc1', curves: [curve(1, [[0, 33], ...swell])] });
    const marks = marksOf([strings]);
    expect(marks.map((mark) => mark.split(' ')[1])).toEqual(['pp', '<', 'f']);
    expect(marks[0]).toBe('1.1 pp');
  });

  it('do not sink with a constant expression pedal, which is a matter of mixing', () => {
    const curves = [
      curve(1, [
        [0, 49],
        [24, 97],
      ]),
      curve(11, [[0, 80]]),
    ];
    expect(marksOf([partOf('violin', held, timeline, { dynamics: 'cc1', curves })])).toEqual(['1.1 p', '7.1 f']);
  });

  it('of the background are those of most of its parts', () => {
    const lead = partOf('flute', beats(repeat(97, BARS)), timeline, { role: 'foreground' });
    const soft = ['violin', 'viola', 'cello'].map((instrument) =>
      partOf(instrument, held, timeline, {
        dynamics: 'cc1',
        curves: [
          curve(1, [
            [0, 49],
            [40, 55],
          ]),
        ],
      }),
    );
    const loud = partOf('horn-f', held, timeline, { dynamics: 'cc1', curves: [curve(1, [[0, 113]])] });
    expect(marksOf([lead, ...soft, loud], 1)).toEqual(['1.1 p']);
  });

  it('are printed again after two bars of rest, changed or not', () => {
    const lead = partOf('flute', beats(repeat(97, BARS)), timeline, { role: 'foreground' });
    const curves = [
      curve(1, [
        [0, 49],
        [44, 60],
      ]),
    ];
    const viola = partOf('viola', 'G4:0:8 A4:8:8 G4:32:16', timeline, { dynamics: 'cc1', curves });
    expect(marksOf([lead, viola], 1)).toEqual(['1.1 p', '9.1 p']);
  });
});

/** Gould, Behind Bars, on the placing of dynamics, from memory: a mark belongs to a note. */
describe('marks stand at notes', () => {
  const swellFrom = (quarter: number): ControllerCurve =>
    curve(
      1,
      Array.from({ length: 17 }, (_, index): [number, number] => [quarter + index, 49 + Math.min(48, index * 6)]),
    );

  it('where the level moves in a rest, the hairpin begins with the next note', () => {
    // The controller begins to rise on the third beat of bar 4, the viola plays from bar 5.
    const viola = partOf('viola', 'G4:0:12 A4:16:8 G4:24:8 A4:32:16', timeline, {
      dynamics: 'cc1',
      curves: [swellFrom(14)],
    });
    const hairpin = marksOf([viola]).find((mark) => mark.endsWith('<'));
    expect(hairpin).toMatch(/^5\.1-/);
  });

  it('a diminuendo into a rest ends with the note, and the level is said at the next one', () => {
    const falling = Array.from({ length: 9 }, (_, index): [number, number] => [16 + index, 97 - index * 8]);
    const viola = partOf('viola', 'G4:0:16 A4:16:6 G4:25:7 A4:32:16', timeline, {
      dynamics: 'cc1',
      curves: [curve(1, [[0, 97], ...falling, [25, 33]])],
    });
    const marks = marksOf([viola]);
    const ends = marks.flatMap((mark) => /-(\S+) >$/.exec(mark)?.[1] ?? []);
    expect(ends).toHaveLength(1);
    // The note ends after the second beat of bar 6; nothing is marked in the rest of beats 3 and 4 nor the bar line after it.
    expect(Number(ends[0])).toBeLessThanOrEqual(6.3);
    expect(marks.at(-1)).toBe('7.2 pp');
  });

  it.each([
    ['The Ferry Lights', async () => (await sampleArrangement()).stages],
    ['The Salt Stair', async () => (await stairArrangement()).stages],
  ])('no level and no beginning of a hairpin lies in a rest: %s', async (_, stagesOf) => {
    const lost: string[] = [];
    let count = 0;
    for (const stage of await stagesOf()) {
      const written = notateStage(stage);
      const time = scoreTimeOf(stage.timeline.bars);
      for (const [index, part] of stage.parts.entries()) {
        const notes = written.parts[index]!.notes;
        for (const mark of partDynamics(part, notes, time)) {
          count += 1;
          const isHeard = notes.some((note) => note.start <= mark.start && mark.start < note.start + note.length);
          if (!isHeard) lost.push(`${stage.id} ${part.name} ${text(mark)}`);
        }
      }
    }
    expect(lost).toEqual([]);
    expect(count).toBeGreaterThan(20);
  });
});

describe('the way through a curve', () => {
  const flat = (value: number | undefined, count: number): { value: number | undefined; bars: number }[] =>
    Array.from({ length: count }, () => ({ value, bars: 1 / 4 }));

  it('holds its level through silence', () => {
    expect(dynamicPath([...flat(2, 4), ...flat(undefined, 3), ...flat(2, 4)], 6)).toEqual([
      { kind: 'mark', cell: 0, level: 2 },
    ]);
  });
  it('of nothing has no marks', () => {
    expect(dynamicPath([], 6)).toEqual([]);
  });
});

describe('a hairpin', () => {
  const time = scoreTimeOf(timeline.bars);
  const quarters = (count: number) => ({
    onsets: Array.from({ length: count }, (_, index) => index * 480),
    stretches: [{ from: 0, to: count * 480 }],
  });
  const around = (from: string, start: number, end: number, to: string): DynamicMark[] => [
    { kind: 'level', staff: 0, start: 0, level: from as 'mp' },
    { kind: 'hairpin', staff: 0, start: start * 480, end: end * 480, direction: 'crescendo' },
    { kind: 'level', staff: 0, start: end * 480, level: to as 'mp' },
  ];
  const isDrawn = (marks: readonly DynamicMark[], sound = quarters(48), canSwell = false): boolean =>
    drawnHairpins(marks, sound, canSwell, time).some(({ kind }) => kind === 'hairpin');

  // Common practice, no source, all of them.
  it('is drawn for a bar that rises by a mark, and for eight that rise by four', () => {
    expect(isDrawn(around('mp', 0, 4, 'mf'))).toBe(true);
    expect(isDrawn(around('pp', 0, 32, 'f'))).toBe(true);
  });

  it('is not drawn for one beat, nor where one mark takes five bars', () => {
    expect(isDrawn(around('mp', 3, 4, 'f'))).toBe(false);
    expect(isDrawn(around('mp', 0, 20, 'mf'))).toBe(false);
  });

  it('that is not drawn leaves its mark at the bar line', () => {
    const marks = drawnHairpins(around('mp', 0, 22, 'mf'), quarters(48), false, time);
    expect(marks.map(text)).toEqual(['1.1 mp', '6.1 mf']);
  });

  it('is not drawn over rests, nor over a note that cannot swell', () => {
    const note = {
      onsets: [0, 1920],
      stretches: [
        { from: 0, to: 1440 },
        { from: 1920, to: 3840 },
      ],
    };
    expect(isDrawn(around('f', 1, 4, 'p'), note, false)).toBe(false);
    expect(isDrawn(around('f', 0, 4, 'p'), { onsets: [0, 1920], stretches: [{ from: 0, to: 3840 }] }, true)).toBe(true);
    expect(isDrawn(around('f', 2, 4, 'p'), note, true)).toBe(false);
  });
});
