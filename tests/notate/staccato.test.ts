/** When a note that is shorter than written has a dot, and when it has none. */
import { describe, expect, it } from 'vitest';
import type { WrittenNote } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { playedBetween } from '../support/played-note.ts';
import { gaussian, seeded } from '../support/playing.ts';

const SECONDS_PER_QUARTER = 0.5;

interface Playing {
  readonly instrument: string;
  /** Where each note begins, how long it is written, and the share of it that sounds. */
  readonly notes: readonly (readonly [start: number, length: number, share: number])[];
  readonly seed?: number;
}

function written({ instrument, notes, seed = 1 }: Playing): readonly WrittenNote[] {
  const timeline = timelineOf(8, { numerator: 4, denominator: 4 }, 60 / SECONDS_PER_QUARTER);
  const wave = gaussian(seeded(seed));
  const played = notes.map(([start, length, share], index) => {
    const from = Math.max(0, start * SECONDS_PER_QUARTER + 0.01 * Math.max(-2, Math.min(2, wave())));
    const held = length * SECONDS_PER_QUARTER * (share + 0.03 * Math.max(-2, Math.min(2, wave())));
    return playedBetween(timeline, 64 + ((index * 5) % 9), from, from + held);
  });
  const part = { ...partOf(instrument, '', timeline), notes: played };
  return notateStage(stageOf([part], timeline)).parts[0]!.notes;
}

const evenly = (length: number, share: number, count: number): Playing['notes'] =>
  Array.from({ length: count }, (_, index) => [index * length, length, share] as const);

const dotsOf = (notes: readonly WrittenNote[]): number =>
  notes.filter(({ ornament }) => ornament?.staccato === true).length;

describe('a staccato dot', () => {
  // A dot halves a value, ordinary detached notes sound for half to three quarters or more (C. P. E. Bach 1753, Türk 1789, from memory).
  it.each(['oboe', 'violin', 'trumpet', 'piano', 'guitar'])(
    'stands at every eighth that %s holds for its half',
    (instrument) => {
      const notes = written({ instrument, notes: evenly(0.5, 0.5, 48) });
      expect(notes.map(({ length }) => length)).toEqual(Array.from({ length: 48 }, () => 240));
      expect(dotsOf(notes)).toBe(48);
    },
  );

  it.each([0.75, 0.85, 0.95, 1.05])('does not stand at notes held for %f of their value', (share) => {
    for (const length of [0.5, 1])
      expect(dotsOf(written({ instrument: 'clarinet-bflat', notes: evenly(length, share, 24) }))).toBe(0);
  });

  it('does not stand at one note let go early among joined ones', () => {
    const notes = evenly(0.5, 1, 48).map((note, index) =>
      index % 16 === 15 ? ([note[0], note[1], 0.5] as const) : note,
    );
    expect(dotsOf(written({ instrument: 'flute', notes }))).toBe(0);
  });

  it('does not stand here and there at detached upbeats far from a staccato chorus', () => {
    const chorus = Array.from({ length: 16 }, (_, at) => [at, 0.5, 0.5] as const);
    const upbeats = [0.63, 0.6, 0.8, 0.63, 0.72, 0.6, 0.98, 0.57].map(
      (share, at) => [17.5 + 2 * at, 0.5, share] as const,
    );
    const dots = (seed: number): readonly boolean[] =>
      written({ instrument: 'trombone-bass', notes: [...chorus, ...upbeats], seed })
        .filter(({ start }) => start >= 17 * 480)
        .map(({ ornament }) => ornament?.staccato === true);
    const mixed = Array.from({ length: 12 }, (_, seed) => new Set(dots(seed + 1)).size).filter((kinds) => kinds > 1);
    expect(mixed.length).toBeLessThanOrEqual(1);
  });

  it('stands in every take at the short notes of a hand, and at none of the longer ones between them', () => {
    const mixed = evenly(0.5, 0.5, 48).map((note, index) =>
      index % 4 === 3 ? ([note[0], note[1], 0.79] as const) : note,
    );
    for (let seed = 1; seed <= 12; seed++) {
      const notes = written({ instrument: 'clarinet-bflat', notes: mixed, seed });
      const isDotted = notes.map(({ ornament }) => ornament?.staccato === true);
      expect(isDotted).toEqual(mixed.map(([, , share]) => share < 0.6));
    }
  });

  it('turns stabs between the beats into eighths, not sixteenths and their rests', () => {
    const stabs: Playing['notes'] = Array.from({ length: 24 }, (_, beat) => [beat + 0.5, 0.5, 0.35] as const);
    const notes = written({ instrument: 'organ', notes: stabs });
    expect(new Set(notes.map(({ length }) => length))).toEqual(new Set([240]));
    expect(dotsOf(notes)).toBe(24);
  });

  // Common practice, no source: a dotted value that is cut short is printed as the plain one and a rest.
  it.each([0.45, 0.5, 0.55, 0.6, 0.65])(
    'does not stand at three eighths held for %f: a quarter and an eighth rest',
    (share) => {
      const bars = Array.from({ length: 8 }, (_, bar): Playing['notes'] => [
        [4 * bar, 1.5, share],
        [4 * bar + 1.5, 0.5, 0.95],
        [4 * bar + 2, 2, 0.95],
      ]);
      const firsts = written({ instrument: 'trombone-tenor', notes: bars.flat() }).filter(
        ({ start }) => start % 1920 === 0,
      );
      expect(dotsOf(firsts)).toBe(0);
      expect(firsts.map(({ length }) => length)).toEqual(firsts.map(() => 480));
    },
  );

  it('says nothing of strings that ring by themselves', () => {
    expect(dotsOf(written({ instrument: 'harp', notes: evenly(0.5, 0.5, 32) }))).toBe(0);
  });

  it('is not given to a tune of one hand by the short chords of the other', () => {
    const timeline = timelineOf(4, { numerator: 4, denominator: 4 }, 120);
    const beats = Array.from({ length: 32 }, (_, beat) => beat * 0.25);
    const tune = beats.map((at, index) => playedBetween(timeline, 76 + (index % 4) * 2, at, at + 0.23));
    const chords = beats.flatMap((at) => [48, 52, 55].map((midi) => playedBetween(timeline, midi, at, at + 0.1)));
    const part = { ...partOf('piano', '', timeline), notes: [...tune, ...chords] };
    const [piano] = notateStage(stageOf([part], timeline)).parts;
    expect(dotsOf(piano!.notes.filter(({ midi }) => midi >= 76))).toBe(0);
    expect(dotsOf(piano!.notes.filter(({ midi }) => midi < 60))).toBe(chords.length);
  });

  it('stands at all or at none of a run of even eighths held for nearly the doubtful share, in nearly every take', () => {
    const isPatchy = (share: number, seed: number): boolean => {
      const dots = dotsOf(written({ instrument: 'clarinet-bflat', notes: evenly(0.5, share, 64), seed }));
      return dots !== (share < 0.6 ? 64 : 0);
    };
    const takes = Array.from({ length: 20 }, (_, take) => take + 1);
    const patchy = [0.585, 0.615].flatMap((share) => takes.filter((seed) => isPatchy(share, seed)));
    expect(patchy.length).toBeLessThanOrEqual(3);
  });

  it('stands in every take of a passage or in none', () => {
    const passage: Playing['notes'] = [0, 4, 8, 12, 16, 20].flatMap((at) => [
      [at, 1, 1] as const,
      [at + 1, 1, 1] as const,
      ...evenly(0.5, 0.5, 4).map(([start, length, share]) => [at + 2 + start, length, share] as const),
    ]);
    const readings = Array.from({ length: 10 }, (_, seed) =>
      written({ instrument: 'bassoon', notes: passage, seed: seed + 1 })
        .map(
          ({ start, length, ornament }) =>
            `${String(start)}:${String(length)}${ornament?.staccato === true ? "'" : ''}`,
        )
        .join(' '),
    );
    expect(new Set(readings).size).toBe(1);
    expect(readings[0]?.split("'")).toHaveLength(25);
  });
});
