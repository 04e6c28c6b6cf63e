import { describe, expect, it } from 'vitest';
import type { PlayedNote } from '../../src/model/music/arrangement.ts';
import { plainSpelling } from '../../src/model/music/pitch.ts';
import type { WrittenNote } from '../../src/model/music/written.ts';
import type { StreamReading } from '../../src/notate/ornaments/found-ornaments.ts';
import { findTrillsAndTremolos } from '../../src/notate/ornaments/trills-and-tremolos.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { staffBars } from '../../src/notate/full-score/part-bars.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { playedBetween } from '../support/played-note.ts';
import { seeded } from '../support/playing.ts';

const FOUR = { numerator: 4, denominator: 4 };

describe('an ornament in the model', () => {
  const time = scoreTimeOf(timelineOf(2, FOUR, 60).bars);
  const grace = { midi: 69, pitch: plainSpelling(69), played: 0 };
  const trilled: WrittenNote = {
    midi: 71,
    pitch: plainSpelling(71),
    start: 1440,
    length: 960,
    staff: 1,
    voice: 1,
    played: 1,
    ornament: { graces: [grace], sign: 'trill', covers: [2, 3, 4, 5] },
  };
  const events = staffBars([trilled], time, (pitch) => pitch)
    .flat(2)
    .filter((event) => event.kind === 'notes');

  it('stands at the first figure of a note that is tied over the bar line, not at the second', () => {
    expect(events).toHaveLength(2);
    expect(events[0]!.ornament).toEqual({ graces: [grace], sign: 'trill' });
    expect(events[1]!.ornament).toBeUndefined();
  });

  it('has its small notes transposed with the part', () => {
    const up = staffBars([trilled], time, (pitch) => ({ ...pitch, octave: pitch.octave + 1 })).flat(2);
    const first = up.find((event) => event.ornament !== undefined);
    expect(first?.ornament?.graces[0]?.pitch.octave).toBe(grace.pitch.octave + 1);
  });
});

/** Four bars at 72 to the minute: a quarter lasts 833 ms. */
const TEMPO = 72;
const QUARTER = 60 / TEMPO;
const SLOW = timelineOf(4, FOUR, TEMPO);

function sound(midi: number, startSecond: number, endSecond: number): PlayedNote {
  return playedBetween(SLOW, midi, startSecond, endSecond);
}

/** Quarters on the beat, played a little short, with other playing in place of some. */
function quartersBut(replaced: ReadonlyMap<number, readonly PlayedNote[]>): PlayedNote[] {
  return Array.from({ length: 16 }, (_, beat) => {
    const start = beat * QUARTER;
    return replaced.get(beat) ?? [sound(72 + (beat % 3), start, start + 0.9 * QUARTER)];
  })
    .flat()
    .sort((a, b) => a.startSecond - b.startSecond);
}

function notated(instrument: string, notes: readonly PlayedNote[]): readonly WrittenNote[] {
  const part = { ...partOf(instrument, '', SLOW), notes };
  return notateStage(stageOf([part], SLOW)).parts[0]!.notes;
}

describe('ornaments in the playing', () => {
  it('a short note just before a longer one is printed small, and the long one stays on its beat', () => {
    const start = 5 * QUARTER;
    const notes = quartersBut(
      new Map([[5, [sound(74, start - 0.055, start + 0.005), sound(76, start, start + 0.9 * QUARTER)]]]),
    );
    const written = notated('flute', notes);
    expect(written).toHaveLength(16);
    const main = written.find((note) => note.start === 5 * 480)!;
    expect(main.midi).toBe(76);
    expect(main.length).toBe(480);
    expect(main.ornament!.graces.map((grace) => grace.midi)).toEqual([74]);
    expect(written.filter((note) => note.ornament !== undefined)).toHaveLength(1);
  });

  it('three quick notes before the beat are three small notes', () => {
    const start = 6 * QUARTER;
    const run = [71, 73, 74].map((midi, index) => {
      const at = start - 0.165 + 0.055 * index;
      return sound(midi, at, at + 0.05);
    });
    const before = sound(73, 5 * QUARTER, 5.7 * QUARTER);
    const notes = quartersBut(
      new Map([
        [5, [before]],
        [6, [...run, sound(76, start, start + 0.9 * QUARTER)]],
      ]),
    );
    const main = notated('flute', notes).find((note) => note.start === 6 * 480)!;
    expect(main.ornament!.graces.map((grace) => grace.midi)).toEqual([71, 73, 74]);
  });

  it('a trill is its main note for the whole time, with the sign; the strokes are not in the list', () => {
    const start = 4 * QUARTER;
    // About eleven strokes a second: no value of this tempo.
    const strokes = Array.from({ length: 17 }, (_, index) => {
      const at = start + 0.092 * index;
      return sound(index % 2 === 0 ? 76 : 77, at, at + 0.085);
    });
    const written = notated(
      'flute',
      quartersBut(
        new Map([
          [4, strokes],
          [5, []],
        ]),
      ),
    );
    const main = written.find((note) => note.start === 4 * 480)!;
    expect(main.midi).toBe(76);
    expect(main.length).toBe(960);
    expect(main.ornament!.sign).toBe('trill');
    expect(main.ornament!.covers).toHaveLength(16);
    expect(written).toHaveLength(15);
  });

  it('strokes that keep step with the beat are counted, and written out', () => {
    const start = 4 * QUARTER;
    const strokes = Array.from({ length: 16 }, (_, index) => {
      const at = start + (QUARTER / 8) * index;
      return sound(index % 2 === 0 ? 76 : 77, at, at + 0.9 * (QUARTER / 8));
    });
    const written = notated(
      'flute',
      quartersBut(
        new Map([
          [4, strokes],
          [5, []],
        ]),
      ),
    );
    expect(written).toHaveLength(30);
    expect(written.every((note) => note.ornament === undefined)).toBe(true);
    expect(written.filter((note) => note.start >= 1920 && note.start < 2880).map((note) => note.start % 60)).toEqual(
      Array.from({ length: 16 }, () => 0),
    );
  });

  it('a figure of entered thirty-seconds that begins after a sixteenth is counted, and written out', () => {
    const start = 4 * QUARTER;
    const step = QUARTER / 8;
    const places = [0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15];
    const figure = places.map((place, index) => {
      const at = start + step * place;
      return sound(index % 2 === 0 ? 76 : 77, at, at + 0.9 * step);
    });
    const written = notated(
      'flute',
      quartersBut(
        new Map([
          [4, figure],
          [5, []],
        ]),
      ),
    );
    expect(written).toHaveLength(14 + places.length);
    expect(written.every((note) => note.ornament === undefined)).toBe(true);
  });

  it('one key struck again and again, too fast to count, is a tremolo', () => {
    const start = 8 * QUARTER;
    const strokes = Array.from({ length: 20 }, (_, index) => {
      const at = start + 0.079 * index;
      return sound(69, at, at + 0.07);
    });
    const written = notated(
      'violin',
      quartersBut(
        new Map([
          [8, strokes],
          [9, []],
        ]),
      ),
    );
    const main = written.find((note) => note.start === 8 * 480)!;
    expect(main.ornament!.sign).toBe('tremolo');
    expect(main.length).toBe(960);
  });

  // Rates of rolls: common practice, no source.
  it.each([
    ['timpani entered as even thirty-seconds', 'timpani', 12, 1 / 8, true],
    ['timpani in even sextuplets', 'timpani', 12, 1 / 6, true],
    ['a flute, which tongues every note', 'flute', 16, 1 / 8, false],
    ['a violin in thirty-seconds', 'violin', 16, 1 / 8, true],
    ['a violin in sixteenths', 'violin', 8, 1 / 4, false],
    ['three thirty-seconds before the beat', 'snare-drum', 3, 1 / 8, false],
  ])('%s', (_, instrument, count, quarters, isRolled) => {
    const timeline = timelineOf(4, FOUR, 108);
    const quarter = 60 / 108;
    const beats = Array.from({ length: 16 }, (__, beat) => beat).filter((beat) => beat !== 8 && beat !== 9);
    const plain = beats.map((beat) => playedBetween(timeline, 55 + (beat % 3), beat * quarter, (beat + 0.9) * quarter));
    const strokes = Array.from({ length: count }, (__, index) =>
      playedBetween(timeline, 57, (8 + quarters * index) * quarter, (8 + quarters * (index + 0.9)) * quarter),
    );
    const notes = [...plain, ...strokes].sort((a, b) => a.startSecond - b.startSecond);
    const part = { ...partOf(instrument, 'A3:0:1', timeline), notes };
    const written = notateStage(stageOf([part], timeline)).parts[0]!.notes;
    const signs = written.filter((note) => note.ornament?.sign === 'tremolo');
    expect(signs).toHaveLength(isRolled ? 1 : 0);
  });

  it('who rolls in thirty-seconds rolls on in a ritardando, and is none who never did', () => {
    // A bar at 84, one at 60: eight strokes a second there (common practice, no source).
    const timeline = timelineOf(2);
    const beats = [60 / 84, 1];
    const rolls = beats.map((beat, bar) =>
      Array.from({ length: 32 }, (_, index) => {
        const from = (bar === 0 ? 0 : 4 * (60 / 84)) + (index * beat) / 8;
        return playedBetween(timeline, 69 + 2 * bar, from, from + (0.9 * beat) / 8);
      }),
    );
    const tremolos = (notes: readonly PlayedNote[]): readonly number[] => {
      const places = notes.map(({ midi }, index) => (midi === 69 ? 0 : 1920) + 60 * (index % 32));
      const stream = {
        notes: notes.map((_, index) => index),
        positions: places,
        spreadMs: 0,
        millisecondsPerDivision: (at: number) => ((at < 1920 ? 60 / 84 : 1) * 1000) / 480,
      };
      const part = { ...partOf('mandolin', 'A4:0:1', timeline), notes };
      return findTrillsAndTremolos(part, stream as unknown as StreamReading).map(({ main }) => notes[main]?.midi ?? 0);
    };
    expect(tremolos(rolls.flat())).toEqual([69, 71]);
    expect(tremolos(rolls[1] ?? [])).toEqual([]);
  });

  it('a chord rolled over a fifth of a second is one chord with a wavy line, upward or downward', () => {
    const chord = [48, 55, 60, 64];
    const rolled = (start: number, keys: readonly number[]): PlayedNote[] =>
      keys.map((midi, index) => sound(midi, start + 0.06 * index, start + 0.95 * QUARTER));
    const notes = quartersBut(
      new Map([
        [2, []],
        [3, rolled(3 * QUARTER, chord)],
        [4, []],
        [6, []],
        [7, rolled(7 * QUARTER, [...chord].reverse())],
        [8, []],
      ]),
    );
    const written = notated('harp', notes);
    for (const [beat, direction] of [
      [3, 'up'],
      [7, 'down'],
    ] as const) {
      const members = written.filter((note) => note.start === beat * 480);
      expect(members.map((note) => note.midi)).toEqual(chord);
      expect(members.map((note) => note.ornament?.roll)).toEqual(chord.map(() => direction));
    }
  });

  it('a chord struck together by a loose hand is not rolled', () => {
    const next = seeded(5);
    const loose = new Map(
      Array.from({ length: 16 }, (_, beat) => [
        beat,
        [60, 64, 67].map((midi) => {
          const start = Math.max(0, beat * QUARTER + 0.03 * (next() - 0.5));
          return sound(midi, start, start + 0.9 * QUARTER);
        }),
      ]),
    );
    expect(notated('harp', quartersBut(loose)).every((note) => note.ornament === undefined)).toBe(true);
  });

  // General MIDI percussion: 36 bass drum, 38 snare, 42 closed hi-hat.
  it('on drums two strokes on one drum are a flam; a hi-hat a little before the snare is a stroke of its own', () => {
    const stroke = (midi: number, start: number): PlayedNote => sound(midi, start, start + 0.06);
    const bars = Array.from({ length: 16 }, (_, beat) => [
      stroke(42, beat * QUARTER),
      stroke(beat % 2 === 0 ? 36 : 38, beat * QUARTER),
    ]);
    bars[5] = [stroke(42, 5 * QUARTER - 0.04), stroke(38, 5 * QUARTER)];
    bars[11] = [stroke(38, 11 * QUARTER - 0.04), stroke(38, 11 * QUARTER), stroke(42, 11 * QUARTER)];
    const written = notated('percussion-unpitched', bars.flat());
    expect(written.filter((note) => note.start === 5 * 480).map((note) => note.midi)).toEqual([38, 42]);
    const small = written.flatMap((note) =>
      (note.ornament?.graces ?? []).map((grace) => ({ start: note.start, midi: note.midi, small: grace.midi })),
    );
    expect(small).toEqual([{ start: 11 * 480, midi: 38, small: 38 }]);
  });
});
