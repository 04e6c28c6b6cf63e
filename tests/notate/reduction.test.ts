import { describe, expect, it } from 'vitest';
import type { Part, Stage } from '../../src/model/music/arrangement.ts';
import { pitchName } from '../../src/model/music/pitch.ts';
import type { ReducedScore, WrittenEvent, WrittenPart } from '../../src/model/music/written.ts';
import { placeOnStaff } from '../../src/notate/clefs-and-signatures/choose-clefs.ts';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { hideFloatingRests } from '../../src/notate/note-values/outer-rests.ts';
import { joinLabels } from '../../src/notate/reduction/cues.ts';
import { linesByBar, octaveMark } from '../../src/notate/reduction/lines.ts';
import type { Line } from '../../src/notate/reduction/lines.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { relationsByBar } from '../../src/notate/reduction/doubling-relations.ts';
import { alignEnds } from '../../src/notate/reduction/rhythm-units.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { tempoMark } from '../../src/notate/score-time/tempo-text.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { voiceOf } from '../support/score.ts';
import { outerNotes } from '../support/outer-notes.ts';

function textOf(event: WrittenEvent): string {
  const heads = event.heads.map((head) => (head.tieFromPrevious ? '~' : '') + pitchName(head.pitch)).join('+');
  const { base, dots, tuplet } = event.figure;
  return `${heads === '' ? 'r' : heads}/${String(base)}${'.'.repeat(dots)}${tuplet === undefined ? '' : 't'}`;
}

function voicesOf(score: ReducedScore, bar: number, staff: string): string[] {
  const index = score.staves.findIndex((item) => item.id === staff);
  const found = score.bars.find((item) => item.number === bar);
  return (found?.staves[index]?.voices ?? []).map((voice) => voice.map(textOf).join(' '));
}

function reduced(parts: readonly Part[], timeline: Stage['timeline'], changes: Partial<Stage> = {}): ReducedScore {
  const score = notateStage(stageOf(parts, timeline, changes)).reduced;
  expect(checkScore(score)).toEqual([]);
  return score;
}

function line(music: string, bars = 1, meter = { numerator: 4, denominator: 4 }): string {
  const timeline = timelineOf(bars, meter);
  return voicesOf(reduced([partOf('flute', music, timeline)], timeline), 1, 'foreground-upper').join(' | ');
}

// How rhythms are laid out: common practice, as in E. Gould, Behind Bars, 2011 (from memory).
describe('figures', () => {
  it('the middle of four beats is shown', () => {
    expect(line('A4:0:1 B4:1:2 C5:3:1')).toBe('A4/4 B4/4 ~B4/4 C5/4');
  });
  it('a quarter between two eighths is a syncopation read at a glance', () => {
    expect(line('A4:0:0.5 B4:0.5:1 C5:1.5:0.5 D5:2:2')).toBe('A4/8 B4/4 C5/8 D5/2');
  });
  it('in six eight a note over the middle is tied at the pulse', () => {
    expect(line('A4:0:1 B4:1:1 C5:2:1', 1, { numerator: 6, denominator: 8 })).toBe('A4/4 B4/8 ~B4/8 C5/4');
  });
  it('a whole bar of three four is a dotted half, of twelve eight a dotted whole', () => {
    expect(line('A4:0:3', 1, { numerator: 3, denominator: 4 })).toBe('A4/2.');
    expect(line('A4:0:6', 1, { numerator: 12, denominator: 8 })).toBe('A4/1.');
  });
  it('three eighths in the time of a quarter are a triplet', () => {
    expect(line('A4:0:0.333 B4:0.3333:0.333 C5:0.6667:0.333 D5:1:3')).toBe('A4/8t B4/8t C5/8t D5/4 ~D5/2');
  });
  it('three quarters in the time of a half are a triplet', () => {
    expect(line('A4:0:0.667 B4:0.6667:0.667 C5:1.3333:0.667 D5:2:2')).toBe('A4/4t B4/4t C5/4t D5/2');
  });
  it('a bar of five or seven is divided as its notes are', () => {
    const five = { numerator: 5, denominator: 8 };
    expect(line('A4:0:1.5 B4:1.5:1', 1, five)).toBe('A4/4. B4/4');
    expect(line('A4:0:1 B4:1:1.5', 1, five)).toBe('A4/4 B4/4.');
    expect(line('A4:0:2 B4:2:3', 1, { numerator: 5, denominator: 4 })).toBe('A4/2 B4/2.');
    const seven = { numerator: 7, denominator: 8 };
    expect(line('A4:0:1 B4:1:1 C5:2:1.5', 1, seven)).toBe('A4/4 B4/4 C5/4.');
    expect(line('A4:0:1.5 B4:1.5:1 C5:2.5:1', 1, seven)).toBe('A4/4. B4/4 C5/4');
    expect(line('A4:0:1 B4:1:1.5 C5:2.5:1', 1, seven)).toBe('A4/4 B4/4. C5/4');
  });
  it('a note that fills seven eighths is tied at a border of the groups, not dotted twice', () => {
    expect(line('A4:0:3.5', 1, { numerator: 7, denominator: 8 })).toBe('A4/2 ~A4/4.');
  });
  it('two dots stand on a beat only; what begins off the beat is tied at the next one and at the middle of four', () => {
    expect(line('A4:0:1.75 B4:1.75:0.25 C5:2:2')).toBe('A4/4.. B4/16 C5/2');
    expect(line('A4:0:0.5 B4:0.5:2 C5:2.5:1.5')).not.toContain('..');
    expect(line('A4:0:1.5 B4:1.5:1 C5:2.5:1.5')).toBe('A4/4. B4/8 ~B4/8 C5/8 ~C5/4');
  });
  it('rests of compound meters: two eighths after a note on the pulse, a quarter before one at its end', () => {
    const six = { numerator: 6, denominator: 8 };
    expect(line('A4:0:0.4 B4:1.5:1.5', 1, six)).toBe('A4/8 r/8 r/8 B4/4.');
    expect(line('A4:2.5:0.5', 1, six)).toBe('r/4. r/4 A4/8');
    expect(line('A4:3:1.5', 1, { numerator: 9, denominator: 8 })).toMatch(/^r\/4\. r\/4\. A4/);
  });
  it('a hemiola in three four shows the beats', () => {
    expect(line('A4:0:1.5 B4:1.5:1.5', 1, { numerator: 3, denominator: 4 })).toBe('A4/4. B4/8 ~B4/4');
  });
  it('rests in four four show beats and halves', () => {
    expect(line('A4:0:1 B4:3.5:0.5')).toBe('A4/4 r/4 r/4 r/8 B4/8');
  });
});

describe('staves', () => {
  const timeline = timelineOf(4);

  it('a guitar alone has one staff, an octave clef and sounding pitches', () => {
    const score = reduced([partOf('guitar', 'E4:0:4', timeline)], timeline);
    expect(score.staves.map((staff) => [staff.id, staff.clef])).toEqual([['foreground-upper', 'treble-8']]);
    expect(voicesOf(score, 1, 'foreground-upper')).toEqual(['E4/1']);
  });

  it('a piano in front has two staves, and its background two more', () => {
    const score = reduced(
      [partOf('piano', 'C5:0:4 C3:0:4', timeline, { role: 'foreground' }), partOf('violin', 'E5:0:4', timeline)],
      timeline,
    );
    expect(score.staves.map((staff) => staff.id)).toEqual([
      'foreground-upper',
      'foreground-lower',
      'background-upper',
      'background-lower',
    ]);
    expect(voicesOf(score, 1, 'foreground-lower')).toEqual(['C3/1']);
  });

  // Common practice, no source: a short score is read at the keyboard, in treble and bass clef.
  it('a staff on which a cello, a viola and horns lead in turn has no C clef; a viola that leads alone keeps its own', () => {
    const timeline = timelineOf(3);
    const parts = [
      partOf('cello', 'D4:0:1 A4:1:1 B4:2:1 C5:3:1', timeline),
      partOf('viola', 'D4:4:1 A3:5:1 B3:6:1 C4:7:1', timeline),
      partOf('horn-f', 'D4:8:1 A4:9:1 G4:10:1 C4:11:1', timeline),
    ].map((part, index) => ({ ...part, id: `part-${String(index)}` }));
    const foreground = [1, 2, 3].map((bar) => leadSpan(`part-${String(bar - 1)}`, bar, bar));
    const clefsOf = (score: ReducedScore): string[] => score.bars.map(({ staves }) => staves[0]?.clef ?? '');
    const inTurn = clefsOf(reduced(parts, timeline, { foreground }));
    expect(inTurn.filter((clef) => clef !== 'treble' && clef !== 'bass')).toEqual([]);
    expect(inTurn.at(-1)).toBe('treble');
    const viola = parts.slice(1, 2);
    expect(new Set(clefsOf(reduced(viola, timeline)))).toEqual(new Set(['alto']));
  });

  it('a broken chord from a low root stands on the lower staff, and what is held over it in the treble clef', () => {
    const bars = timelineOf(4, { numerator: 3, denominator: 4 });
    const chords = [
      ['G2', 'G3', 'B3', 'D4', 'B3', 'G3'],
      ['F#2', 'A3', 'D4', 'F#4', 'D4', 'A3'],
    ];
    const broken = [0, 1, 2, 3].flatMap((bar) =>
      (chords[bar % 2] ?? []).map((pitch, at) => `${pitch}:${String(3 * bar + at / 2)}:0.5`),
    );
    const score = reduced(
      [
        partOf('violin', 'D5:0:3 A4:3:3 D5:6:3 A4:9:3', bars, { role: 'foreground' }),
        partOf('violin', 'B3:0:3 D4:3:3 B3:6:3 D4:9:3', bars, { name: 'Violin 2' }),
        partOf('viola', 'G3:0:3 A3:3:3 G3:6:3 A3:9:3', bars),
        partOf('guitar', broken.join(' '), bars),
        partOf('cello', 'G2:0:3 F#3:3:3 G2:6:3 F#3:9:3', bars),
      ],
      bars,
    );
    const upper = score.staves.findIndex(({ id }) => id === 'background-upper');
    expect(score.bars.map(({ staves }) => staves[upper]?.clef)).toEqual(score.bars.map(() => 'treble'));
    expect(voicesOf(score, 1, 'background-upper')).toEqual(['B3/2.']);
  });

  // Common practice, no source: a short score is read as a piano, treble over bass; a bass far below draws nothing up.
  it('over a deep bass a broken chord of the tenor stands below the held chord, which keeps the treble clef', () => {
    const bars = timelineOf(4);
    const figures = [
      ['A2', 'E3', 'C4', 'E4'],
      ['F2', 'C3', 'A3', 'C4'],
    ];
    const broken = [0, 1, 2, 3].flatMap((bar) =>
      Array.from({ length: 16 }, (_, at) => `${figures[bar % 2]?.[at % 4] ?? ''}:${String(4 * bar + at / 4)}:0.25`),
    );
    const chords = [0, 1, 2, 3].flatMap((bar) =>
      (bar % 2 === 0 ? ['A3', 'C4', 'E4'] : ['A3', 'C4', 'F4']).map((pitch) => `${pitch}:${String(4 * bar)}:4`),
    );
    const score = reduced(
      [
        partOf('violin', 'E5:0:4 F5:4:4 E5:8:4 F5:12:4', bars, { role: 'foreground' }),
        partOf('string-ensemble', chords.join(' '), bars),
        partOf('guitar', broken.join(' '), bars),
        partOf('double-bass', 'A1:0:4 F1:4:4 A1:8:4 F1:12:4', bars),
      ],
      bars,
    );
    const [upper, lower] = ['background-upper', 'background-lower'].map((name) =>
      score.staves.findIndex(({ id }) => id === name),
    );
    expect(score.bars.map(({ staves }) => staves[upper ?? 0]?.clef)).toEqual(score.bars.map(() => 'treble'));
    expect(score.bars.map(({ staves }) => staves[lower ?? 0]?.clef)).toEqual(score.bars.map(() => 'bass'));
    for (const bar of [1, 2, 3, 4]) {
      expect(voicesOf(score, bar, 'background-upper').join(' ')).not.toContain('/16');
      expect(voicesOf(score, bar, 'background-lower').join(' ')).toContain('/16');
    }
  });

  // Common practice, no source: two staves are there to be used; the chords of a rhythm section stand over its bass.
  it('low chords over a bass stand on the upper staff rather than all on the lower one', () => {
    const bars = timelineOf(4);
    const four = [0, 1, 2, 3];
    const beats = (pitches: readonly string[]): string =>
      four
        .flatMap((bar) => four.flatMap((beat) => pitches.map((pitch) => `${pitch}:${String(4 * bar + beat)}:1`)))
        .join(' ');
    const held = (pitch: string): string => four.map((bar) => `${pitch}:${String(4 * bar)}:4`).join(' ');
    const score = reduced(
      [
        partOf('sax-tenor', four.map((bar) => `C5:${String(4 * bar)}:2 A4:${String(4 * bar + 2)}:2`).join(' '), bars, {
          role: 'foreground',
        }),
        partOf('guitar', beats(['F3', 'A3', 'D4']), bars),
        partOf('trombone-tenor', held('C3'), bars),
        partOf('double-bass', beats(['F2']), bars),
      ],
      bars,
    );
    for (const bar of [1, 2, 3, 4]) expect(voicesOf(score, bar, 'background-upper').join(' ')).toContain('F3+A3+D4/4');
  });

  it('a note that one desk holds over the bar line and another strikes again is struck', () => {
    const trumpets = partOf('trumpet-c', 'A4:0:8 A4:4:4', timeline);
    const note = { midi: 69, pitch: { step: 'A', alter: 0, octave: 4 }, staff: 1, voice: 1 } as const;
    const written: WrittenPart = {
      partId: trumpets.id,
      notes: [
        { ...note, played: 0, start: 0, length: 3840 },
        { ...note, played: 1, start: 1920, length: 1920 },
      ],
      doubtfulShare: 0,
    };
    const lines = linesByBar([trumpets], [written], scoreTimeOf(timeline.bars));
    expect(lines[1]?.[0]?.notes).toMatchObject([{ from: 0, to: 1920, midi: 69, continues: false }]);
  });

  it('unison and octave doublings are one line and are named; the octave stands in it where it is the highest that sounds', () => {
    const tune = 'B4:0:1 C5:1:1 D5:2:2';
    const parts = [
      partOf('guitar', 'G3:0:4', timeline, { role: 'foreground' }),
      partOf('flute', 'B5:0:1 C6:1:1 D6:2:2', timeline),
      partOf('violin', tune, timeline, { name: 'Violin 1', abbreviation: 'Vn 1' }),
      partOf('oboe', tune, timeline),
    ];
    const score = reduced(parts, timeline);
    expect(voicesOf(score, 1, 'background-upper')).toEqual(['B4+B5/4 C5+C6/4 D5+D6/2']);
    expect(score.bars[0]!.doublings).toEqual(['Vn 1 + Ob + Fl above']);
  });

  it('a half and its rest over running eighths stay a half: nothing is held on for a tie', () => {
    const [bar] = scoreTimeOf(timelineOf(1, { numerator: 3, denominator: 4 }).bars).bars;
    const line = (key: string, spans: readonly (readonly [from: number, to: number])[]): Line => ({
      key,
      partId: key,
      label: key,
      staff: 1,
      voice: 1,
      centre: 60,
      depth: 0,
      notes: spans.map(([from, to]) => ({
        from,
        to,
        midi: 60,
        pitch: { step: 'C', alter: 0, octave: 4 },
        continues: false,
        goesOn: false,
        partIds: [key],
      })),
    });
    const eighths = [0, 240, 480, 720, 960, 1200].map((from) => [from, from + 240] as const);
    const endOf = (other: Line): number | undefined =>
      alignEnds([line('horn', [[0, 960]]), other], bar!)[0]!.notes[0]!.to;
    expect(endOf(line('bassoon', eighths))).toBe(960);
    // What is let go an eighth before a chord that began with it is held with the chord.
    const quarter = alignEnds([line('horn', [[0, 1200]]), line('bassoon', [[0, 1440]])], bar!)[0]!.notes[0]!.to;
    expect(quarter).toBe(1440);
    // A bass on the beat is let go as the afterbeat begins, and is not held through it.
    const [bass] = alignEnds([line('tuba', [[0, 480]]), line('accordion', [[480, 720]])], bar!);
    expect(bass!.notes[0]!.to).toBe(480);
    // Nor with the dotted quarter of another: a quarter and a rest are no dotted quarter let go early.
    const [tuba] = alignEnds([line('tuba', [[0, 480]]), line('trombone', [[0, 720]])], bar!);
    expect(tuba!.notes[0]!.to).toBe(480);
  });

  // Common practice in reductions, no source: a rest that another voice pushes off the staff is not printed where that voice keeps the time.
  it('short rests of afterbeats over full chords on every beat are kept unseen, those beside silence and those within the staff are seen', () => {
    const upper = voiceOf('C4:8 r:8 C4:8 r:8 C4:8 r:8 C4:8 r:8', 0, 1920);
    const seen = (below: string): string =>
      hideFloatingRests(upper, voiceOf(below, 0, 1920), 1, (pitch) => placeOnStaff(pitch, 'bass'))
        .filter(({ kind }) => kind === 'rest')
        .map(({ hidden }) => (hidden === true ? 'unseen' : 'seen'))
        .join(' ');
    expect(seen('E3+B3:4 E3+B3:4 E3+B3:4 E3+B3:4')).toBe('unseen unseen unseen unseen');
    expect(seen('E3+B3:8 r:8 E3+B3:4 E3:4 E3:4')).toBe('seen unseen seen seen');
  });

  it('an organ that holds the chord which the piano plays is left out and named: no whole notes beside the same pitches', () => {
    const chords = ['C5', 'Ab4', 'Eb4'];
    const onEach = (from: number, length: number): string[] =>
      chords.map((pitch) => `${pitch}:${String(from)}:${String(length)}`);
    const comping = [...onEach(0, 1.5), ...onEach(1.5, 0.5), ...onEach(2, 2)];
    const score = reduced(
      [
        partOf('voice', 'Ab4:0:4', timeline, { role: 'foreground' }),
        partOf('piano', [...comping, 'Ab2:0:4'].join(' '), timeline),
        partOf('organ', [...onEach(0, 4), 'Ab3:0:4'].join(' '), timeline, { abbreviation: 'Org' }),
      ],
      timeline,
    );
    const [voice, ...others] = voicesOf(score, 1, 'background-upper');
    expect([voice?.split(' ').map((event) => event.split('/')[1]), others]).toEqual([['4.', '8', '2'], []]);
    expect(score.bars[0]!.leftOut.join()).toContain('Org');
  });

  it('a voice three octaves over a bass that has the same few notes doubles nobody, one that has its tune does', () => {
    const relationsOf = (pitches: readonly string[]): number => {
      const line = (octave: number): string =>
        pitches.map((pitch, index) => `${pitch}${String(octave)}:${String(index)}:1`).join(' ');
      const long = timelineOf(2);
      const parts = [partOf('voice', line(4), long), partOf('bass-guitar', line(1), long)];
      const { parts: written } = notateStage(stageOf(parts, long));
      return relationsByBar(linesByBar(parts, written, scoreTimeOf(long.bars))).flat().length;
    };
    expect(relationsOf(['F', 'F', 'F', 'F', 'G', 'G', 'G', 'G'])).toBe(0);
    expect(relationsOf(['F', 'G', 'A', 'B', 'G', 'F', 'G', 'A'])).toBeGreaterThan(0);
  });

  it('an octave inside the chord is not written but marked', () => {
    const parts = [
      partOf('guitar', 'G3:0:4', timeline, { role: 'foreground' }),
      partOf('flute', 'G6:0:4', timeline),
      partOf('oboe', 'B5:0:1 C6:1:1 D6:2:2', timeline),
      partOf('violin', 'B4:0:1 C5:1:1 D5:2:2', timeline, { name: 'Violin 1', abbreviation: 'Vn 1' }),
    ];
    const score = reduced(parts, timeline);
    expect(voicesOf(score, 1, 'background-upper').join(' ')).not.toMatch(/B5|C6/);
    expect(score.bars[0]!.doublings).toEqual(['Vn 1 + Ob 8va']);
  });

  // Common practice of short scores, no source.
  it('cellos and basses in octaves are one line, the basses written where they read it and named 8vb', () => {
    const parts = [
      partOf('guitar', 'G3:0:4', timeline, { role: 'foreground' }),
      partOf('cello', 'G2:0:2 D3:2:2', timeline),
      partOf('double-bass', 'G1:0:2 D2:2:2', timeline),
    ];
    const score = reduced(parts, timeline);
    expect(voicesOf(score, 1, 'background-lower')).toEqual(['G2/2 D3/2']);
    expect(score.bars[0]!.doublings).toEqual(['Vc + D.B. 8vb']);
    const staff = score.staves.findIndex(({ id }) => id === 'background-lower');
    const heads = score.bars[0]!.staves[staff]!.voices.flat().flatMap((event) => event.heads);
    expect(heads.map(({ sounds }) => sounds)).toEqual([
      [43, 31],
      [50, 38],
    ]);
  });

  // Common practice of short scores, no source.
  it('a bass guitar alone is written an octave up and named 8vb, a glockenspiel two octaves down and named 15ma', () => {
    const parts = [
      partOf('violin', 'G4:0:4', timeline, { role: 'foreground' }),
      partOf('bass-guitar', 'E1:0:2 A1:2:2', timeline),
      partOf('glockenspiel', 'E7:0:2 C7:2:2', timeline),
    ];
    const score = reduced(parts, timeline);
    expect(voicesOf(score, 1, 'background-lower')).toEqual(['E2/2 A2/2']);
    expect(voicesOf(score, 1, 'background-upper')).toEqual(['E5/2 C5/2']);
    expect(score.bars[0]!.names.map(({ text }) => text)).toContain('B.Gtr 8vb');
    expect(score.bars[0]!.cues.map(({ text }) => text).join()).toContain('Glsp 15ma');
    expect(score.bars[0]!.staves.flatMap(({ clef }) => clef)).not.toContain('bass-8');
  });

  // Common practice of short scores, no source: what sounds lowest is seen lowest.
  it.each([
    ['as it sounds where the left hand of a piano would come under it', 'E2:0:2 D2:2:2', 'G1', 'D.B.'],
    ['an octave up where the piano stays above that', 'B2:0:2 D3:2:2', 'G2', 'D.B. 8vb'],
  ])('a double bass is written %s', (_, left, lowest, name) => {
    const parts = [
      partOf('violin', 'G4:0:4', timeline, { role: 'foreground' }),
      partOf('piano', left, timeline),
      partOf('double-bass', 'G1:0:3 A1:3:1', timeline),
    ];
    const score = reduced(parts, timeline);
    expect(voicesOf(score, 1, 'background-lower').join(' ')).toContain(`${lowest}/2.`);
    const said = score.bars[0]!.cues.map(({ text }) => text).join(', ');
    expect(`${said}, `).toContain(`${name}, `);
  });

  it('a tuba an octave below the cellos stands where it sounds: its player reads it there', () => {
    const parts = [
      partOf('guitar', 'G3:0:4', timeline, { role: 'foreground' }),
      partOf('cello', 'G2:0:2 D3:2:2', timeline),
      partOf('tuba', 'G1:0:2 D2:2:2', timeline),
    ];
    const score = reduced(parts, timeline);
    expect(voicesOf(score, 1, 'background-lower')).toEqual(['G1+G2/2 D2+D3/2']);
    expect(score.bars[0]!.doublings).toEqual(['Vc + Tba below']);
  });

  it('a bass held longer than the line it doubles, or two octaves off, is a line of its own', () => {
    const parts = [
      partOf('guitar', 'G3:0:4', timeline, { role: 'foreground' }),
      partOf('cello', 'G2:0:1 D3:2:1', timeline),
      partOf('double-bass', 'G1:0:2 D2:2:2', timeline),
      partOf('oboe', 'B4:0:1 C5:1:1 D5:2:2', timeline),
      partOf('piccolo', 'B6:0:1 C7:1:1 D7:2:2', timeline),
    ];
    const stage = stageOf(parts, timeline);
    const { highest, lowest, moments } = outerNotes(stage, notateStage(stage));
    expect([highest, lowest]).toEqual([moments, moments]);
  });

  it('unpitched percussion is left out and named once', () => {
    const parts = [partOf('guitar', 'G3:0:16', timeline), partOf('percussion-unpitched', 'C3:0:1 C3:4:1', timeline)];
    const score = reduced(parts, timeline);
    expect(score.bars.flatMap((bar) => bar.leftOut).length).toBe(1);
  });

  it('a note over the bar line is tied', () => {
    const score = reduced([partOf('flute', 'A4:2:4 B4:6:2', timeline)], timeline);
    expect(voicesOf(score, 2, 'foreground-upper')).toEqual(['~A4/2 B4/2']);
  });
});

describe('cues', () => {
  it('name who enters and who leaves, but nobody at the end', () => {
    const timeline = timelineOf(8);
    const parts = [
      partOf('guitar', 'G3:0:32', timeline, { role: 'foreground' }),
      partOf('flute', 'D5:0:8', timeline),
      partOf('horn-f', 'D4:16:16', timeline),
    ];
    const cues = reduced(parts, timeline).bars.flatMap((bar) =>
      bar.cues.map((cue) => `${String(bar.number)} ${cue.text}`),
    );
    expect(cues).toEqual(['1 +Fl', '2 -Fl', '5 +Hn']);
  });
  it('an ensemble of six that enters and leaves as one is named as one', () => {
    const timeline = timelineOf(6);
    const names = ['flute', 'oboe', 'bassoon', 'violin', 'viola', 'cello'];
    const parts = [
      partOf('guitar', 'G3:0:24', timeline, { role: 'foreground' }),
      ...names.map((name, index) => partOf(name, `${'CDEFGA'[index] ?? 'C'}4:4:8`, timeline)),
    ];
    const cues = reduced(parts, timeline).bars.flatMap((bar) =>
      bar.cues.map((cue) => `${String(bar.number)} ${cue.text}`),
    );
    expect(cues).toEqual(['2 +tutti', '3 -tutti']);
  });
  it('where almost all leave, those who go on are named, not those who leave', () => {
    const timeline = timelineOf(5);
    const violin = partOf('violin', 'E5:0:20', timeline, { role: 'foreground' });
    const staying = partOf('viola', 'D4:0:20', timeline);
    const leaving = ['flute', 'oboe', 'clarinet-bflat', 'bassoon', 'cello'].map((instrument, index) =>
      partOf(instrument, `${['A5', 'F5', 'A4', 'F3', 'D3'][index] ?? ''}:0:8`, timeline),
    );
    const exits = reduced([violin, ...leaving, staying], timeline).bars.flatMap((bar) =>
      bar.cues.flatMap((cue) => (cue.kind === 'exit' ? [`${String(bar.number)} ${cue.text}`] : [])),
    );
    expect(exits).toEqual(['2 -all but Vn, Va']);
  });
  it('an entry after which everybody plays is the tutti, whoever played before', () => {
    const timeline = timelineOf(5);
    const violin = partOf('violin', 'E5:0:20', timeline, { role: 'foreground' });
    const first = partOf('viola', 'D4:0:20', timeline);
    const later = ['flute', 'oboe', 'clarinet-bflat', 'bassoon', 'cello', 'horn-f'].map((instrument, index) =>
      partOf(instrument, `${['A5', 'F5', 'A4', 'F3', 'D3', 'A3'][index] ?? ''}:8:12`, timeline),
    );
    const entries = reduced([violin, first, ...later], timeline).bars.flatMap((bar) =>
      bar.cues.flatMap((cue) => (cue.kind === 'entry' ? [`${String(bar.number)} ${cue.text}`] : [])),
    );
    expect(entries.at(-1)).toBe('3 +tutti');
  });
  it('desks of one section are joined', () => {
    expect(joinLabels(['Vn 1', 'Vn 2', 'Va', 'Vn 1'])).toBe('Vn 1, 2, Va');
  });
  it('a rest of less than a bar is no exit', () => {
    const timeline = timelineOf(3);
    const guitar = partOf('guitar', 'G3:0:12', timeline, { role: 'foreground' });
    const score = reduced([guitar, partOf('flute', 'A4:0:3 A4:5:3 A4:8:4', timeline)], timeline);
    expect(score.bars.flatMap((bar) => bar.cues).length).toBe(1);
  });
  it('a soloist with a staff of its own is not announced over the ensemble', () => {
    const timeline = timelineOf(8);
    const parts = [
      partOf('cello', 'D4:8:8', timeline, { name: 'Cello solo', abbreviation: 'Vc solo', role: 'foreground' }),
      partOf('viola', 'D4:0:32', timeline),
    ];
    const score = reduced(parts, timeline);
    expect(score.bars.flatMap((bar) => bar.cues)).toMatchObject([{ text: '+Va', staff: 1 }]);
  });
  it('the upbeat of a tune that is handed over stands on the staff of the tune, and the new player is named there', () => {
    const timeline = timelineOf(4);
    const parts = [
      partOf('viola', 'D4:0:4 E4:4:2', timeline, { role: 'foreground' }),
      partOf('clarinet-bflat', 'A4:7.5:0.5 D5:8:8', timeline, { role: 'foreground' }),
      partOf('cello', 'G3:0:16', timeline),
    ];
    const foreground = [leadSpan('viola', 1, 2), leadSpan('clarinet', 3, 4)].map((span, index) => ({
      ...span,
      partId: parts[index]!.id,
    }));
    const score = reduced(parts, timeline, { foreground });
    expect(voicesOf(score, 2, 'foreground-upper').join(' ')).toMatch(/A4\/8/);
    const cues = score.bars
      .flatMap((bar) => bar.cues)
      .map((cue) => `${String(cue.start / 480)} ${cue.text} ${String(cue.staff)}`);
    expect(cues).toEqual(['0 Va 0', '0 +Vc 1', '7.5 Cl 0']);
  });
  it('who doubles the tune is named over it, and announced over the ensemble only where it joins that', () => {
    const timeline = timelineOf(4);
    const tune = 'B4:0:1 C5:1:1 D5:2:2 E5:4:2 D5:6:2';
    const parts = [
      partOf('violin', `${tune} G4:8:8`, timeline, { role: 'foreground' }),
      partOf('flute', 'B5:0:1 C6:1:1 D6:2:2 E6:4:2 D6:6:2 B4:8:4 C5:12:4', timeline),
      partOf('viola', 'G4:0:16', timeline),
    ];
    const { bars } = reduced(parts, timeline);
    expect(bars.flatMap((bar) => bar.names.map((name) => `${String(name.staff)} ${name.text}`))).toContain(
      '0 + Fl above, to bar 2',
    );
    expect(bars.map((bar) => bar.cues.map((cue) => cue.text).join())).toEqual(['+Va', '', '+Fl', '']);
  });
  it('the player who takes the tune over is named on the staff of the tune', () => {
    const timeline = timelineOf(4);
    const parts = [
      partOf('flute', 'D5:0:8', timeline, { role: 'foreground' }),
      partOf('oboe', 'A4:8:8', timeline, { role: 'foreground' }),
    ];
    const foreground = [leadSpan('flute', 1, 2), leadSpan('oboe', 3, 4)];
    const leads = reduced(parts, timeline, { foreground }).bars.flatMap((bar) =>
      bar.cues
        .filter((cue) => cue.kind === 'lead')
        .map((cue) => `${String(bar.number)} ${cue.text} ${String(cue.staff)}`),
    );
    expect(leads).toEqual(['1 Fl 0', '3 Ob 0']);
  });
});

describe('marks', () => {
  it('a piece that nobody divided has no section marks', () => {
    const timeline = timelineOf(4);
    const parts = [partOf('flute', 'D5:0:16', timeline)];
    const one = [{ name: 'Whole piece', from: 1, to: 4 }];
    const two = [
      { name: 'Opening', from: 1, to: 2 },
      { name: 'Close', from: 3, to: 4 },
    ];
    const marksOf = (sections: Stage['sections']): (string | undefined)[] =>
      reduced(parts, timeline, { sections }).bars.map((bar) => bar.sectionName);
    expect(marksOf(one)).toEqual([undefined, undefined, undefined, undefined]);
    expect(marksOf(two)).toEqual(['Opening', undefined, 'Close', undefined]);
  });

  it('octaves are marked 8va, 8vb, 15ma, 15mb, more of them in words', () => {
    expect([12, -12, 24, -24, 0].map(octaveMark)).toEqual(['8va', '8vb', '15ma', '15mb', '']);
    expect([36, -36].map(octaveMark)).toEqual(['3 octaves above', '3 octaves below']);
  });
  it('the beat of a compound meter is dotted in the tempo mark', () => {
    expect(tempoMark(81, { numerator: 6, denominator: 8 })).toBe('♩. = 54');
    expect(tempoMark(72, { numerator: 3, denominator: 4 })).toBe('♩ = 72');
  });
  // As in the map of the piece: the score once gave quarters where the map gave halves.
  it('a hymn in 2/2 is counted in halves, a bar of 7/8 in eighths', () => {
    expect(tempoMark(116, { numerator: 2, denominator: 2 })).toBe('𝅗𝅥 = 58');
    expect(tempoMark(132, { numerator: 7, denominator: 8 })).toBe('♪ = 264');
  });
});

describe('the staves of those who lead', () => {
  const timeline = timelineOf(4);
  const piano = partOf('piano', 'C5:0:4 C3:0:4 D5:4:4 D3:4:4', timeline, { role: 'foreground' });
  const lower = (parts: readonly Part[], foreground: Stage['foreground']) =>
    reduced(parts, timeline, { foreground }).staves.find((staff) => staff.id === 'foreground-lower');

  it('of a keyboard alone are always both there', () => {
    const found = lower([piano], [leadSpan(piano.id, 1, 4)]);
    expect(found).toBeDefined();
    expect(found?.whenPlayed).toBeUndefined();
  });

  it('has the second one for the keyboard only, where a voice takes the tune over', () => {
    const voice = partOf('voice', 'G4:8:4 A4:12:4', timeline, { role: 'foreground' });
    const found = lower([voice, piano], [leadSpan(piano.id, 1, 2), leadSpan(voice.id, 3, 4)]);
    expect(found?.whenPlayed).toBe(true);
  });
});
