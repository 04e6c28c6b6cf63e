/** Bars and tempos proposed for playing without a click: beats against those that were played, and the file against other readers. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Midi } from '@tonejs/midi';
import { describe, expect, it } from 'vitest';
import { buildDossier, prepareFolder } from '../../src/build.ts';
import { trackBeats, type HeardNote } from '../../src/notate/free-time/beat-tracking.ts';
import { barsByEar } from '../../src/notate/free-time/bars-by-ear.ts';
import { proposeTempo } from '../../src/notate/free-time/tempo-proposal.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { ownBeats, secondBy } from '../support/free-playing.ts';
import { freePiano } from '../kinds/folders/free-piano.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile } from '../support/open-data.ts';
import { playedBetween } from '../support/played-note.ts';
import { seeded } from '../support/playing.ts';

/** Half of the window in which a beat counts as found, in seconds: usage of beat tracking evaluations (Dixon 2001; MIREX, from memory). */
const WINDOW_SECONDS = 0.07;

function folderWith(files: ReadonlyMap<string, Uint8Array | string>): string {
  const folder = join(scratchFolder(), 'free');
  mkdirSync(folder);
  for (const [path, bytes] of files) writeFileSync(join(folder, path), bytes);
  return folder;
}

/** F-measure of the places found against the true ones. */
function agreement(truth: readonly number[], found: readonly number[]): number {
  const hits = truth.filter((second) => found.some((other) => Math.abs(other - second) <= WINDOW_SECONDS)).length;
  return (2 * hits) / (truth.length + found.length);
}

/** A song (OpenScore Lieder Corpus, CC0) as somebody plays it who slows at the ends of phrases and drifts between. */
function playedSong(name: string, seed: number): { notes: HeardNote[]; beats: number[]; bars: number[] } {
  const score = readMxl(openFile('openscore-lieder', name));
  const clock = ownBeats(260, seed, 80, 0.06);
  const at = (quarters: number): number => secondBy(clock, quarters + 8);
  const next = seeded(seed);
  const written = score.parts.flatMap(({ notes }) => notes).filter(({ start }) => start < 200);
  const end = Math.max(...written.map(({ start, length }) => start + length));
  const notes = written.map(({ midi, start, length }): HeardNote => {
    const startSecond = at(start) + 0.03 * (next() - 0.5);
    return { midi, velocity: 80, startSecond, endSecond: startSecond + 0.85 * (at(start + length) - at(start)) };
  });
  const bars = score.bars.filter(({ start }) => start < end).map(({ start }) => at(start));
  return { notes, beats: Array.from({ length: Math.floor(end) }, (_, beat) => at(beat)), bars };
}

/** Songs that no price was set on. */
const KEPT_ASIDE = [
  ['Schumann,_Clara_6_Die_stille_Lotosblume_lc5130634.mxl', 3],
  ['Schumann,_Robert_8_Talismane_lc6910703.mxl', 4],
] as const;

describe('beats in free playing', () => {
  it.each(KEPT_ASIDE)('are those of the player, and bars begin where they do: %s', (name, beatsInBar) => {
    const { notes, beats, bars } = playedSong(name, 5);
    const path = trackBeats(notes)!;
    expect(agreement(beats, path.beats)).toBeGreaterThan(0.9);
    expect(path.overChance).toBeLessThan(0.85);
    const ear = barsByEar(notes, path.beats);
    expect(ear.beatsInBar).toBe(beatsInBar);
    expect(
      agreement(
        bars,
        ear.firstBeats.map((index) => path.beats[index] ?? 0),
      ),
    ).toBeGreaterThan(0.85);
  });

  it.each([1, 2, 3])('are not found where there are none (onsets of chance, %d)', (seed) => {
    const next = seeded(seed);
    let second = 0;
    const notes = Array.from({ length: 300 }, (): HeardNote => {
      // A Poisson process of four onsets a second: the distances are exponential.
      second += -Math.log(1 - 0.9999 * next()) / 4;
      return { midi: 48 + Math.floor(30 * next()), velocity: 70, startSecond: second, endSecond: second + 0.4 };
    });
    expect(trackBeats(notes)!.overChance).toBeGreaterThan(0.9);
  });
});

describe('a proposal of bars and tempos', () => {
  it('keeps every note at its moment, is offered with its score, and makes the music one that can be written', async () => {
    const folder = folderWith(freePiano.files(1));
    const out = join(scratchFolder(), 'out');
    const { input, files } = await buildDossier({ folder, out, singleFile: false }, testEffects());
    expect(files).toContain('tempo-proposal.mid');
    const current = input.stages.at(-1)!;
    const { originSecond, stage, meter } = current.proposal!;
    // As it was played: 24 bars of 3/4 that wait at the ends of phrases.
    expect(meter).toEqual({ numerator: 3, denominator: 4 });
    expect(Math.abs(stage.timeline.bars.length - 24)).toBeLessThanOrEqual(1);
    const page = readFileSync(join(out, 'index.html'), 'utf8');
    expect(page).toContain('href="tempo-proposal.mid"');
    expect(page).toContain('three to a bar');

    const bytes = readFileSync(join(out, 'tempo-proposal.mid'));
    const byName = new Map(
      // That reader takes each byte of a name for a letter.
      new Midi(bytes).tracks.map((track) => [Buffer.from(track.name, 'latin1').toString('utf8'), track]),
    );
    for (const part of current.stage.parts) {
      for (const [index, { name }] of part.tracks.entries()) {
        const played = part.notes.filter(({ trackIndex }) => trackIndex === index);
        const read = byName.get(name)!.notes.map(({ time, midi }) => [time, midi] as const);
        expect(read).toHaveLength(played.length);
        for (const { startSecond, midi } of played) {
          const found = read.some(([time, key]) => key === midi && Math.abs(time + originSecond - startSecond) < 0.002);
          expect(found, `${name} ${String(midi)} at ${String(startSecond)} s`).toBe(true);
        }
      }
    }

    const taken = folderWith(new Map([['free.mid', bytes]]));
    const again = await prepareFolder({ folder: taken, singleFile: false }, testEffects());
    const [own] = again.stages;
    expect(own!.written.onGrid).toBe(true);
    expect(own!.proposal).toBeUndefined();
    expect(own!.stage.timeline.bars.map((bar) => bar.meter)).toEqual(stage.timeline.bars.map((bar) => bar.meter));
  });

  it('is not made of a handful of notes', () => {
    const timeline = timelineOf(8);
    const [first = 0, ...others] = ownBeats(9, 3);
    const notes = others.map((second, beat) =>
      playedBetween(timeline, 60 + beat, second - first, second - first + 0.4),
    );
    expect(proposeTempo(stageOf([{ ...partOf('piano', '', timeline), notes }], timeline))).toBeUndefined();
    expect(proposeTempo(stageOf([], timeline))).toBeUndefined();
  });
});
