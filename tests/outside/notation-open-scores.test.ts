/**
 * The notation against scores that people set: OpenScore String Quartets, Lieder and Orchestra (CC0, tests/data/LICENCES.md),
 * replayed by a seeded machine to a click. Spelling is compared with the printed spelling. Floors stand a little under what is measured.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { stageOf } from '../support/arrangement.ts';
import type { ReadScore } from '../support/musicxml-score.ts';
import { readMxl, timelineOfScore } from '../support/musicxml-score.ts';
import { hasWholeData, openFile, openFiles } from '../support/open-data.ts';
import { play } from '../support/playing.ts';
import { notated } from '../support/notated.ts';

interface Tally {
  notes: number;
  onsets: number;
  lengths: number;
  spelled: number;
  /** Pieces whose first key has the printed signature, and all. */
  signed: number;
  pieces: number;
  faults: string[];
}

function replay(score: ReadScore, tempo: number, jitterMs: number, tally: Tally): void {
  const timeline = timelineOfScore(score, tempo);
  const played = score.parts.map((part, index) =>
    play(part.staves > 1 ? 'piano' : 'violin', part.notes, timeline, jitterMs, index + 1 + tempo, {
      name: `P${String(index)}`,
    }),
  );
  const written = notated(
    stageOf(
      played.map((item) => item.part),
      timeline,
    ),
  );
  tally.pieces++;
  if (written.keys[0]?.fifths === score.signatures[0]?.fifths) tally.signed++;
  tally.faults.push(...checkScore(written.reduced));
  for (const [index, { truth }] of played.entries()) {
    for (const note of written.parts[index]!.notes) {
      const true_ = truth[note.played]!;
      tally.notes++;
      if (Math.abs(note.start - true_.start * 480) < 2) tally.onsets++;
      if (Math.abs(note.length - true_.length * 480) < 2) tally.lengths++;
      if (note.pitch.step === true_.pitch.step && note.pitch.alter === true_.pitch.alter) tally.spelled++;
    }
  }
}

describe.each([
  { set: 'openscore-quartets', spelling: 0.99, at60: 0.995, at90: 0.99 },
  { set: 'openscore-lieder', spelling: 0.994, at60: 0.99, at90: 0.98 },
])('$set', ({ set, spelling, at60, at90 }) => {
  const files = openFiles(set);
  const tallies = new Map<string, Tally>();

  beforeAll(() => {
    for (const file of files) {
      const score = readMxl(openFile(set, file));
      for (const [tempo, jitter] of [
        [90, 0],
        [60, 20],
        [90, 20],
      ] as const) {
        const key = `${String(tempo)}/${String(jitter)}`;
        const tally = tallies.get(key) ?? {
          notes: 0,
          onsets: 0,
          lengths: 0,
          spelled: 0,
          signed: 0,
          pieces: 0,
          faults: [],
        };
        replay(score, tempo, jitter, tally);
        tallies.set(key, tally);
      }
    }
  });

  function tally(tempo: number, jitter: number): Tally {
    return tallies.get(`${String(tempo)}/${String(jitter)}`)!;
  }

  it('is spelled as people spelled it', () => {
    const { notes, spelled } = tally(90, 0);
    expect(notes).toBeGreaterThan(hasWholeData ? 3000 : 1000);
    expect(spelled / notes).toBeGreaterThan(spelling);
    expect(tally(90, 20).spelled / tally(90, 20).notes).toBeGreaterThan(spelling - 0.002);
  });

  it('begins in the key that is printed, also where the playing is loose', () => {
    for (const { signed, pieces } of tallies.values()) expect(signed / pieces).toBeGreaterThan(0.95);
  });

  it('has its onsets back where it is played exactly', () => {
    const { notes, onsets } = tally(90, 0);
    expect(onsets / notes).toBeGreaterThan(0.999);
  });

  it('has its note values back where it is played exactly', () => {
    const { notes, lengths } = tally(90, 0);
    expect(lengths / notes).toBeGreaterThan(0.97);
  });

  it('has its onsets back at 20 ms of spread', () => {
    expect(tally(60, 20).onsets / tally(60, 20).notes).toBeGreaterThan(at60);
    expect(tally(90, 20).onsets / tally(90, 20).notes).toBeGreaterThan(at90);
  });

  it('is reduced to a score without faults', () => {
    expect([...tallies.values()].flatMap((item) => item.faults)).toEqual([]);
  });
});
