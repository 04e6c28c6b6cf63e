/** One passage played many times with fresh scatter, and the bars that are not read alike every time. */
import type { WrittenPart } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from './arrangement.ts';
import { playedBetween } from './played-note.ts';
import { gaussian, seeded } from './playing.ts';
import { swungPlace } from './swung.ts';

/** `[start, length]` in quarters; `small`: a note struck just before it, not counted in the rhythm. */
type Figure = readonly (readonly [start: number, length: number, small?: 'small'])[];

export interface Passage {
  readonly name: string;
  /** Bars of four quarters, one after another; repeated to eight bars. */
  readonly bars: readonly Figure[];
  readonly tempo: number;
  readonly instrument: string;
  /** Share of its value that a note is held. */
  readonly held: number;
  /** Long to short of a pair of eighths. */
  readonly swing?: number;
  /** Milliseconds that what stands between the beats comes late. */
  readonly offBeatLateMs?: number;
}

const BARS = 8;
const FOUR = { numerator: 4, denominator: 4 };
/** A small note stands this long before its main note (common practice, no source). */
const SMALL_MS = 55;

const STEPS = [0, 2, 4, 5, 7, 5, 4, 2];

/** One take of a passage: its rhythm bar by bar, all that a reader sees of it. */
function takeOf(passage: Passage, seed: number, scatterMs: number): string[] {
  const { bars, tempo, instrument, held, swing = 1, offBeatLateMs = 0 } = passage;
  const timeline = timelineOf(BARS, FOUR, tempo);
  const wave = gaussian(seeded(seed));
  const bounded = (): number => Math.max(-2.5, Math.min(2.5, wave()));
  const secondAt = (quarters: number): number => (swungPlace(quarters, swing) * 60) / tempo;
  const notes = Array.from({ length: BARS }, (_, bar) =>
    (bars[bar % bars.length] ?? []).flatMap(([place, length, small], index) => {
      const start = bar * 4 + place;
      const late = place % 1 === 0 ? 0 : offBeatLateMs / 1000;
      const from = Math.max(0, secondAt(start) + late + (scatterMs / 1000) * bounded());
      const value = secondAt(start + length) - secondAt(start);
      const until = from + Math.max(0.03, value * ((length < 2 ? held : Math.max(held, 0.85)) + 0.03 * bounded()));
      const midi = 69 + (STEPS[(index + bar) % STEPS.length] ?? 0);
      const main = playedBetween(timeline, midi, from, until);
      if (small === undefined) return [main];
      const before = Math.max(0, from - SMALL_MS / 1000 - 0.006 * bounded());
      return [playedBetween(timeline, midi + 2, before, Math.max(before + 0.03, from - 0.005)), main];
    }),
  ).flat();
  notes.sort((a, b) => a.startSecond - b.startSecond);
  const part = { ...partOf(instrument, '', timeline), notes };
  return rhythmByBar(notateStage(stageOf([part], timeline)).parts[0], BARS * 1920);
}

function rhythmByBar(part: WrittenPart | undefined, end: number): string[] {
  const bars = Array.from({ length: end / 1920 }, (): string[] => []);
  for (const { start, length, ornament } of part?.notes ?? []) {
    const small = 'x'.repeat(ornament?.graces.length ?? 0);
    const sign = ornament?.sign === undefined ? '' : 's';
    bars[Math.floor(start / 1920)]?.push(`${small}${String(start % 1920)}:${String(length)}${sign}`);
  }
  return bars.map((bar) => bar.join(' '));
}

/** The rhythm that was written, in the same words. */
function writtenRhythm({ bars }: Passage): string[] {
  return Array.from({ length: BARS }, (_, bar) =>
    (bars[bar % bars.length] ?? [])
      .map(
        ([start, length, small]) =>
          `${small === undefined ? '' : 'x'}${String(Math.round(start * 480))}:${String(Math.round(length * 480))}`,
      )
      .join(' '),
  );
}

/** Bars of all takes: how many are not as written, and how many are not as most takes have them. */
interface TakeCount {
  readonly bars: number;
  readonly wrong: number;
  readonly differing: number;
}

/** Plays a passage so many times. */
export function countTakes(passage: Passage, takes: number, scatterMs: number): TakeCount {
  const truth = writtenRhythm(passage);
  const read = Array.from({ length: takes }, (_, take) => takeOf(passage, 101 + 17 * take, scatterMs));
  const wrong = read.flatMap((bars) => bars.filter((bar, index) => bar !== truth[index])).length;
  const differing = truth.reduce((sum, _, bar) => {
    const counts = new Map<string, number>();
    for (const bars of read) counts.set(bars[bar] ?? '', (counts.get(bars[bar] ?? '') ?? 0) + 1);
    return sum + takes - Math.max(...counts.values());
  }, 0);
  return { bars: takes * BARS, wrong, differing };
}
