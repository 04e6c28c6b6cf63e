/** What would uncover a foreground: computed by making the background softer, smaller or by moving a part of it away. */
import type { Beat } from '../../../model/music/beats.ts';
import type { PlacedPart } from '../../placed-notes/placed-notes.ts';
import type { Timeline } from '../../../model/music/timeline.ts';
import type { Tone } from '../masking/covered-share.ts';
import type { FrontBands } from '../masking/covered-share.ts';
import { addExcitation, frontBandsOf, middleOf, newBands } from '../masking/covered-share.ts';
import { isLevelLeftOut } from '../left-out.ts';
import type { LevelModel } from '../level-model.ts';
import { partLevels } from '../part-levels.ts';

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
    if (isLevelLeftOut(part)) return;
    for (const { beat, midi, power } of partLevels(judged, model, beats, timeline).contributions) {
      const sound = sounds[beat];
      const side = (front[sound?.barIndex ?? -1]?.has(part.id) ?? false) ? 'foreground' : 'background';
      sound?.[side].push({ partIndex, midi, power, unpitched: part.unpitched });
    }
  });
  return sounds;
}

/** One beat in which both sides sound: what each part of the background puts into the bands of the foreground, and all together. */
export interface BeatExcitation {
  readonly barIndex: number;
  readonly front: FrontBands;
  readonly byPart: ReadonlyMap<number, Float64Array>;
  readonly whole: Float64Array;
  /** What could be moved: none where the sound was recorded. */
  readonly background: readonly PartTone[];
}

/** The beats in which both sides sound. */
export function excitationsOf(sounds: readonly BeatSound[]): readonly BeatExcitation[] {
  return sounds
    .filter(({ foreground, background }) => foreground.length > 0 && background.length > 0)
    .map(excitationOf);
}

/** What several put there together. */
export function addedUp(excitations: Iterable<Float64Array>, length: number): Float64Array {
  const whole = new Float64Array(length);
  for (const own of excitations) own.forEach((power, place) => (whole[place] = (whole[place] ?? 0) + power));
  return whole;
}

function excitationOf({ barIndex, foreground, background }: BeatSound): BeatExcitation {
  const front = frontBandsOf(foreground);
  const byPart = new Map<number, Float64Array>();
  for (const tone of background) {
    const own = byPart.get(tone.partIndex) ?? new Float64Array(front.bands.length);
    byPart.set(tone.partIndex, own);
    addExcitation(own, front, tone);
  }
  return { barIndex, front, byPart, whole: addedUp(byPart.values(), front.bands.length), background };
}

/** Share of the foreground's power that lies under what the background would put at each of its bands. */
function shareWhere(
  beats: readonly BeatExcitation[],
  excitationAt: (beat: BeatExcitation) => (place: number) => number,
): number {
  let covered = 0;
  let all = 0;
  for (const beat of beats) {
    const { powers } = beat.front;
    const at = excitationAt(beat);
    for (let place = 0; place < powers.length; place++) {
      const power = powers[place] as number;
      all += power;
      if (at(place) >= power) covered += power;
    }
  }
  return all === 0 ? 0 : covered / all;
}

/** The same with the sound of one part taken `times` as strong, and with other tones of that part added; no tones: taken out. */
function shareWithPart(
  beats: readonly BeatExcitation[],
  partIndex: number,
  times: number,
  added?: (beat: BeatExcitation) => Float64Array,
): number {
  return shareWhere(beats, (beat) => {
    const { whole } = beat;
    const own = beat.byPart.get(partIndex);
    if (own === undefined) return (place) => whole[place] as number;
    const instead = added?.(beat);
    return (place) => {
      const part = own[place] as number;
      return (whole[place] as number) - part + part * times + (instead?.[place] ?? 0);
    };
  });
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

function softerDbOf(beats: readonly BeatExcitation[], limit: number): number | undefined {
  const clears = (db: number): boolean => {
    const times = 10 ** (-db / 10);
    return (
      shareWhere(
        beats,
        ({ whole }) =>
          (place) =>
            (whole[place] as number) * times,
      ) < limit
    );
  };
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

function coveredBand(beats: readonly BeatExcitation[]): Clearance['bandHz'] {
  const covered = newBands();
  for (const { front, whole } of beats) {
    for (let place = 0; place < whole.length; place++) {
      const power = front.powers[place] as number;
      const band = front.bands[place] as number;
      if ((whole[place] as number) >= power) covered[band] = (covered[band] ?? 0) + power;
    }
  }
  return middleOf(covered);
}

/** What brings the covered share of these beats under a limit 0..1; `playersOf` a part by its index. */
export function clearanceOf(
  beats: readonly BeatExcitation[],
  playersOf: (partIndex: number) => number,
  limit: number,
): Clearance {
  const share = shareWhere(
    beats,
    ({ whole }) =>
      (place) =>
        whole[place] as number,
  );
  const softerDb = softerDbOf(beats, limit);
  const bandHz = coveredBand(beats);
  const indices = [...new Set(beats.flatMap(({ byPart }) => [...byPart.keys()]))];
  const coverer = indices
    .map((partIndex) => ({ partIndex, shareWithout: shareWithPart(beats, partIndex, 0) }))
    .reduce<Clearance['coverer']>(
      (least, item) => (least === undefined || item.shareWithout < least.shareWithout ? item : least),
      undefined,
    );
  if (coverer === undefined) return { share };
  const { partIndex } = coverer;
  const count = playersOf(partIndex);
  const fewer = Array.from({ length: Math.max(0, count - 1) }, (_, index) => count - 1 - index);
  const players = fewer.find((number) => shareWithPart(beats, partIndex, number / count) < limit);
  const movedBy =
    (semitones: number) =>
    ({ front, background }: BeatExcitation): Float64Array => {
      const excitation = new Float64Array(front.bands.length);
      for (const tone of background) {
        if (tone.partIndex === partIndex) addExcitation(excitation, front, { ...tone, midi: tone.midi + semitones });
      }
      return excitation;
    };
  const canMove = beats.some(({ background }) => background.length > 0);
  const octave = [-OCTAVE, OCTAVE].find(
    (semitones) => canMove && shareWithPart(beats, partIndex, 0, movedBy(semitones)) < limit,
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
