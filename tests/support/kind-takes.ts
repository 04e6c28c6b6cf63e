/** A folder of kinds played again and again with fresh scatter, and the bars that are not written alike every time. */
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { barIndexAtDivision, scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import type { KindFolder } from '../kinds/kind.ts';
import { stageOfKind } from './kind-stage.ts';

/** What a reader sees of each bar of each part: places, pitches, values, dots, staves and voices, by `part, bar 5`. */
async function writtenBars(folder: KindFolder, seed: number): Promise<ReadonlyMap<string, string>> {
  const stage = await stageOfKind(folder, seed);
  const time = scoreTimeOf(stage.timeline.bars);
  const bars = new Map<string, string[]>();
  for (const [index, { notes }] of notateStage(stage).parts.entries()) {
    for (const { start, length, midi, staff, voice, ornament } of notes) {
      const bar = time.bars[barIndexAtDivision(time, start)];
      const key = `${stage.parts[index]?.id ?? ''}, bar ${String(bar?.number)}`;
      const place = ((start - (bar?.start ?? 0)) / DIVISIONS_PER_QUARTER).toFixed(3);
      const dot = ornament?.staccato === true ? "'" : '';
      const text = `${place}:${String(length)}${dot} ${String(midi)} ${String(staff)}/${String(voice)}`;
      bars.set(key, [...(bars.get(key) ?? []), text]);
    }
  }
  return new Map([...bars].map(([key, texts]) => [key, texts.sort().join(' ')]));
}

/** Bars that some of so many takes write otherwise, of all bars in which a part plays. */
export async function differingBars(
  folder: KindFolder,
  takes: number,
): Promise<{ readonly differing: readonly string[]; readonly all: number }> {
  const read = await Promise.all(Array.from({ length: takes }, (_, take) => writtenBars(folder, take + 1)));
  const keys = [...new Set(read.flatMap((bars) => [...bars.keys()]))];
  return {
    differing: keys.filter((key) => new Set(read.map((bars) => bars.get(key))).size > 1),
    all: keys.length,
  };
}
