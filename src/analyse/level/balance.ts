/** Estimated levels of every part, of foreground and background, by beat and by bar. */
import type { Stage } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { BarBalance, BeatBalance } from '../../model/readings/readings.ts';
import type { Beat } from '../../model/music/beats.ts';
import { foregroundByBar } from '../lines/foreground-lookup.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Heard } from './masking/audibility.ts';
import { isLevelLeftOut } from './left-out.ts';
import { heardBeside } from './masking/audibility.ts';
import type { Covered, Tone } from './masking/covered-share.ts';
import { coveredPower } from './masking/covered-share.ts';
import type { LevelModel } from './level-model.ts';
import type { PartLevels } from './part-levels.ts';
import { partLevels } from './part-levels.ts';

export interface Balance {
  readonly beats: readonly BeatBalance[];
  readonly balance: readonly BarBalance[];
}

interface BeatTones {
  readonly foreground: Tone[];
  readonly background: Tone[];
}

function toDb(power: number): number {
  return 10 * Math.log10(power);
}

/** Level values of a beat or bar; a side that is silent has no level, and without both there is no margin. */
function sides(
  foregroundDb: number | undefined,
  backgroundDb: number | undefined,
): Pick<BeatBalance, 'foregroundDb' | 'backgroundDb'> {
  return {
    ...(foregroundDb === undefined ? {} : { foregroundDb }),
    ...(backgroundDb === undefined ? {} : { backgroundDb }),
  };
}

function tonesByBeat(
  placed: readonly PlacedPart[],
  levels: readonly PartLevels[],
  beats: readonly Beat[],
  front: readonly ReadonlySet<string>[],
): readonly BeatTones[] {
  const tones = beats.map((): BeatTones => ({ foreground: [], background: [] }));
  placed.forEach(({ part }, partIndex) => {
    if (isLevelLeftOut(part)) return;
    for (const { beat, midi, power } of levels[partIndex]?.contributions ?? []) {
      const inFront = front[beats[beat]?.barIndex ?? -1]?.has(part.id) ?? false;
      tones[beat]?.[inFront ? 'foreground' : 'background'].push({ midi, power, unpitched: part.unpitched });
    }
  });
  return tones;
}

function beatBalance(
  beat: Beat,
  bar: number,
  powers: readonly (readonly [string, number])[],
  front: ReadonlySet<string>,
  leftOut: ReadonlySet<string>,
): BeatBalance {
  let foreground = 0;
  let background = 0;
  for (const [id, power] of powers) {
    if (leftOut.has(id)) continue;
    if (front.has(id)) foreground += power;
    else background += power;
  }
  return {
    bar,
    startQuarters: beat.startQuarters,
    lengthQuarters: beat.lengthQuarters,
    ...sides(foreground > 0 ? toDb(foreground) : undefined, background > 0 ? toDb(background) : undefined),
    ...(foreground > 0 && background > 0 ? { marginDb: toDb(foreground / background) } : {}),
    partsDb: Object.fromEntries(powers.map(([id, power]) => [id, toDb(power)])),
  };
}

function medianOf(beats: readonly BeatBalance[], read: (beat: BeatBalance) => number | undefined): number | undefined {
  return median(beats.flatMap((beat) => read(beat) ?? []));
}

function barBalance(bar: number, beats: readonly BeatBalance[], covered: Covered, { heard, alone }: Heard): BarBalance {
  const marginDb = medianOf(beats, (beat) => beat.marginDb);
  const ids = new Set(beats.flatMap((beat) => Object.keys(beat.partsDb)));
  const partsDb = [...ids].flatMap((id) => {
    const levelDb = medianOf(beats, (beat) => beat.partsDb[id]);
    return levelDb === undefined ? [] : [[id, levelDb] as const];
  });
  return {
    bar,
    ...sides(
      medianOf(beats, (beat) => beat.foregroundDb),
      medianOf(beats, (beat) => beat.backgroundDb),
    ),
    ...(marginDb === undefined ? {} : { marginDb }),
    ...(covered.foregroundPower > 0 ? { maskedShare: covered.coveredPower / covered.foregroundPower } : {}),
    ...(alone > 0 ? { audibleShare: heard / alone } : {}),
    partsDb: Object.fromEntries(partsDb),
  };
}

/**
 * Levels by beat and, as medians over its beats, by bar. The margin of a beat is the foreground's level minus the sum of
 * the background, powers added; sound without pitch is in neither (`left-out`). The covered and the audible share of a bar are taken over the beats in which both sound;
 * `wide` are by bar index the ids in front with those in unison with them, who mask nothing of what they play.
 */
export function balanceOf(
  stage: Stage,
  placed: readonly PlacedPart[],
  models: readonly LevelModel[],
  beats: readonly Beat[],
  wide: readonly ReadonlySet<string>[],
): Balance {
  const { timeline } = stage;
  const front = foregroundByBar(stage);
  const levels = placed.map((part, index): PartLevels => {
    const model = models[index];
    if (model === undefined) throw new Error('a part without a level model');
    return partLevels(part, model, beats, timeline);
  });
  const tones = tonesByBeat(placed, levels, beats, wide);
  const nobody: ReadonlySet<string> = new Set();
  const leftOut = new Set(placed.filter(({ part }) => isLevelLeftOut(part)).map(({ part }) => part.id));
  const covered = timeline.bars.map(() => ({ coveredPower: 0, foregroundPower: 0, heard: 0, alone: 0 }));
  const beatsByBar = timeline.bars.map((): BeatBalance[] => []);
  const readings = beats.map((beat, index) => {
    const powers = placed.flatMap(({ part }, partIndex) => {
      const power = levels[partIndex]?.power[index] ?? 0;
      return power > 0 ? [[part.id, power] as const] : [];
    });
    const reading = beatBalance(
      beat,
      timeline.bars[beat.barIndex]?.number ?? 0,
      powers,
      front[beat.barIndex] ?? nobody,
      leftOut,
    );
    beatsByBar[beat.barIndex]?.push(reading);
    const sounding = tones[index];
    const sums = covered[beat.barIndex];
    if (
      sums !== undefined &&
      sounding !== undefined &&
      sounding.foreground.length > 0 &&
      sounding.background.length > 0
    ) {
      const share = coveredPower(sounding.foreground, sounding.background);
      sums.coveredPower += share.coveredPower;
      sums.foregroundPower += share.foregroundPower;
      const { heard, alone } = heardBeside(sounding.foreground, sounding.background);
      sums.heard += heard;
      sums.alone += alone;
    }
    return reading;
  });
  const silence = { coveredPower: 0, foregroundPower: 0, heard: 0, alone: 0 };
  const balance = timeline.bars.map((bar, index) => {
    const sums = covered[index] ?? silence;
    return barBalance(bar.number, beatsByBar[index] ?? [], sums, sums);
  });
  return { beats: readings, balance };
}
