/** What a folder costs is bounded by its notes, not by the hours, bars or keys that they span. In processor time, as the machine may be busy. */
import { describe, expect, it } from 'vitest';
import { adviseStage } from '../src/advise/advise-stage.ts';
import { analyseStage } from '../src/analyse/analyse-stage.ts';
import { assemble } from '../src/assemble/assemble.ts';
import { drawStage } from '../src/build.ts';
import type { Part, Stage } from '../src/model/music/arrangement.ts';
import { notateStage } from '../src/notate/notate-stage.ts';
import { steadyBeatOf } from '../src/notate/score-time/steady-beat.ts';
import { readFolder } from '../src/read/read-folder.ts';
import { partOf, timelineOf } from './support/arrangement.ts';
import { memoryDisk } from './support/memory-disk.ts';
import type { Bytes } from './support/midi-bytes.ts';
import { endOfTrack, chunk, meter, midiFile, noteOff, noteOn, tempo, track, trackName } from './support/midi-bytes.ts';
import { playedBetween } from './support/played-note.ts';

/** Wide, as the same work costs up to ten times as much on a busy machine; what is bounded here went on for minutes or for ever. */
const MOST_SECONDS = 20;

async function processorSeconds(work: () => unknown): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

/** From the bytes to scores and charts. */
async function throughTheFlow(bytes: Uint8Array): Promise<Stage> {
  const raw = await readFolder('/piece', memoryDisk({ '/piece/01 sketch.mid': bytes }), { ignore: [] });
  const arrangement = assemble(raw, { folderName: 'piece' });
  const stage = arrangement.stages[0]!;
  const { limits, accepted } = arrangement;
  const written = notateStage(stage);
  const readings = analyseStage(stage, written);
  drawStage({ stage, written, readings, findings: adviseStage({ stage, written, readings, limits, accepted }) }, arrangement);
  return stage;
} // prettier-ignore

const repeated = (count: number, of: (index: number) => Bytes): number[] =>
  Array.from({ length: count }, (_, index) => of(index)).flat();

const cases: readonly (readonly [string, () => Uint8Array])[] = [
  [
    'of which every note begins and ends in one moment, each key hundreds of times',
    () =>
      midiFile(
        1,
        480,
        track(
          trackName('Piano'),
          repeated(20_000, (index) => noteOn(0, index % 128)),
          repeated(20_000, (index) => noteOff(index === 0 ? 480 : 0, index % 128)),
        ),
      ),
  ],
  [
    'without any key-up, closed thousands of bars later',
    () =>
      midiFile(
        1,
        480,
        chunk('MTrk', [
          ...trackName('Piano'),
          ...repeated(4000, (index) => noteOn(20, 20 + (index % 80))),
          ...endOfTrack(480 * 4 * 3900),
        ]),
      ),
  ],
  [
    'in bars of 64 whole notes at four quarter notes a minute',
    () =>
      midiFile(
        1,
        24,
        track(tempo(16_700_000), meter(64, 0)),
        track(
          trackName('Violin'),
          repeated(300, (index) => [...noteOn((index * 7919) % 50_000, 60 + (index % 12)), ...noteOff(24, 60 + (index % 12))]),
        ),
      ),
  ],
]; // prettier-ignore

describe('a folder', () => {
  it.each(cases)('%s costs seconds at most', async (_what, bytes) => {
    const spent = await processorSeconds(async () => {
      expect((await throughTheFlow(bytes())).parts).toHaveLength(1);
    });
    expect(spent).toBeLessThan(MOST_SECONDS);
  });
});

describe('the search for a steady beat', () => {
  const timeline = timelineOf(4000, { numerator: 4, denominator: 4 }, 60);
  const struckAt = (seconds: readonly number[]): Part => ({
    ...partOf('violin', '', timeline),
    notes: seconds.map((second) => playedBetween(timeline, 60, second, second + 0.2)),
  });

  it('of 300 notes over a hundred days is over at once: notes so far apart show none', async () => {
    const seconds = Array.from({ length: 300 }, (_, index) => index * 28_800 + ((index * 7919) % 997));
    const spent = await processorSeconds(() => {
      expect(steadyBeatOf([struckAt(seconds)])).toBeUndefined();
    });
    expect(spent).toBeLessThan(MOST_SECONDS / 2);
  });

  it('finds the beat of the longest stretch, whatever is struck days before and after it', () => {
    // In sixteenths: of plain quarters any three sixteenths would be a beat as well.
    const steady = Array.from({ length: 160 }, (_, sixteenth) => 1000 + (sixteenth * 15) / 84);
    expect(steadyBeatOf([struckAt([3, 4.1, ...steady, 90_000, 900_000])])).toBeCloseTo(84, 0);
  });
});
