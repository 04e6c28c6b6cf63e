/** What would uncover a foreground: computed by making the background softer, smaller or by moving a part of it away. */
import type { Beat } from '../beats.ts';
import type { PlacedPart } from '../placed-notes.ts';
import type { Timeline } from '../../model/timeline.ts';
import type { Tone } from './covered-share.ts';
import { coveredPower, middleOf, newBands } from './covered-share.ts';
import type { LevelModel } from './level-model.ts';
import { partLevels } from './part-levels.ts';

/** More than this is no matter of balance any more. */
const MOST_DB = 24;
const OCTAVE = 12;

interface PartTone extends Tone {
  readonly partIndex: number;
}

/** What sounds in one beat. */
export interface BeatSound {
  readonly barIndex: number;
  readonly foreground: PartTone[];
  readonly background: PartTone[];
}

export interface LevelledPart extends PlacedPart {
  readonly model: LevelModel;
}

/** Sound of every beat; `front` are the ids of the parts in front by bar index. */
export function beatSoundsOf(
  parts: readonly LevelledPart[],
  beats: readonly Beat[],
  front: readonly ReadonlySet<string>[],
  timeline: Timeline,
): readonly BeatSound[] {
  const sounds = beats.map(({ barIndex }): BeatSound => ({ barIndex, foreground: [], background: [] }));
  parts.forEach((judged, partIndex) => {
    const { part, model } = judged;
    for (const { beat, midi, power } of partLevels(judged, model, beats, timeline).contributions) {
      const sound = sounds[beat];
      const side = (front[sound?.barIndex ?? -1]?.has(part.id) ?? false) ? 'foreground' : 'background';
      sound?.[side].push({ partIndex, midi, power, unpitched: part.unpitched });
    }
  });
  return sounds;
}

/** Share of the foreground's power that lies under the background, with every background tone changed; undefined tones are left out. */
function shareWith(sounds: readonly BeatSound[], change: (tone: PartTone) => PartTone | undefined): number {
  let covered = 0;
  let whole = 0;
  for (const { foreground, background } of sounds) {
    if (foreground.length === 0 || background.length === 0) continue;
    const power = coveredPower(
      foreground,
      background.flatMap((tone) => change(tone) ?? []),
    );
    covered += power.coveredPower;
    whole += power.foregroundPower;
  }
  return whole === 0 ? 0 : covered / whole;
}

export interface Clearance {
  /** Covered share as it is, 0..1. */
  readonly share: number;
  /** Where in the spectrum the covered sound lies: the middle eight tenths of it, in hertz. */
  readonly bandHz?: { readonly lowHz: number; readonly highHz: number };
  /** Whole decibels that the background would have to be softer; undefined where 24 are not enough. */
  readonly softerDb?: number;
  /** The background part without which the share is least, and that share. */
  readonly coverer?: { readonly partIndex: number; readonly shareWithout: number };
  /** Most players of that part with whom the share falls under the limit; undefined where one is too many, or it has but one. */
  readonly players?: number;
  /** Semitones to move that part by, so that the share falls under the limit: an octave down or up. */
  readonly octave?: number;
}

function softerDbOf(sounds: readonly BeatSound[], limit: number): number | undefined {
  const clears = (db: number): boolean =>
    shareWith(sounds, (tone) => ({ ...tone, power: tone.power * 10 ** (-db / 10) })) < limit;
  if (!clears(MOST_DB)) return undefined;
  let low = 0;
  let high = MOST_DB;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (clears(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function coveredBand(sounds: readonly BeatSound[]): Clearance['bandHz'] {
  const bands = newBands();
  for (const { foreground, background } of sounds) {
    if (foreground.length > 0 && background.length > 0) coveredPower(foreground, background, bands);
  }
  return middleOf(bands);
}

/** What brings the covered share of these beats under a limit 0..1. */
export function clearanceOf(sounds: readonly BeatSound[], parts: readonly LevelledPart[], limit: number): Clearance {
  const share = shareWith(sounds, (tone) => tone);
  const softerDb = softerDbOf(sounds, limit);
  const bandHz = coveredBand(sounds);
  const indices = [...new Set(sounds.flatMap(({ background }) => background.map(({ partIndex }) => partIndex)))];
  const coverer = indices
    .map((partIndex) => ({
      partIndex,
      shareWithout: shareWith(sounds, (tone) => (tone.partIndex === partIndex ? undefined : tone)),
    }))
    .reduce<Clearance['coverer']>(
      (least, item) => (least === undefined || item.shareWithout < least.shareWithout ? item : least),
      undefined,
    );
  if (coverer === undefined) return { share };
  const only = (change: (tone: PartTone) => PartTone) => (tone: PartTone) =>
    tone.partIndex === coverer.partIndex ? change(tone) : tone;
  const count = parts[coverer.partIndex]?.part.players ?? 1;
  const fewer = Array.from({ length: Math.max(0, count - 1) }, (_, index) => count - 1 - index);
  const players = fewer.find(
    (number) =>
      shareWith(
        sounds,
        only((tone) => ({ ...tone, power: (tone.power * number) / count })),
      ) < limit,
  );
  const octave = [-OCTAVE, OCTAVE].find(
    (semitones) =>
      shareWith(
        sounds,
        only((tone) => ({ ...tone, midi: tone.midi + semitones })),
      ) < limit,
  );
  return {
    share,
    ...(bandHz === undefined ? {} : { bandHz }),
    ...(softerDb === undefined ? {} : { softerDb }),
    coverer,
    ...(players === undefined ? {} : { players }),
    ...(octave === undefined ? {} : { octave }),
  };
}
