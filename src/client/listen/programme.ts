/** What is to be heard, and in which order. */
import { barNumbered, samePlace } from '../../sound/bar-clock.ts';
import type { Sketch } from '../../sound/sketch.ts';
import type { Choice } from '../../sound/voice.ts';

/** The audio file that lies beside the stage, or some parts of the sketch. */
export type Heard = Choice | { readonly kind: 'audio' };

export interface Programme {
  readonly sketch: Sketch;
  readonly choice: Heard;
  /** Bars that are repeated, both included. */
  readonly span?: { readonly from: number; readonly to: number };
  /** Plays every other time where bars are repeated. */
  readonly other?: Sketch;
}

export interface Place {
  readonly sketch: Sketch;
  readonly second: number;
}

export interface Player {
  /** Plays from a second of the programme's sketch; what played before fades. */
  readonly play: (programme: Programme, second: number) => void;
  readonly stop: () => void;
  /** What is heard now; undefined where nothing plays. */
  readonly place: () => Place | undefined;
  /** Volume in dB under the most that there is, which is 0. */
  readonly setVolume: (db: number) => void;
}

/** Share of the most that there is, for a volume in dB under it. */
export function gainOf(volumeDb: number): number {
  return 10 ** (Math.min(0, volumeDb) / 20);
}

/** The last notes ring on after the last bar. */
const TAIL_SECONDS = 0.5;
/** Less than this cannot be repeated. */
const SHORTEST_SECONDS = 0.05;

/** From which second to which one of its stages is heard. */
export function secondsOf({ sketch, span }: Programme, of = sketch): { readonly from: number; readonly to: number } {
  const { bars } = of;
  if (span === undefined) return { from: 0, to: (bars.at(-1)?.end ?? 0) + TAIL_SECONDS };
  return { from: barNumbered(bars, span.from)?.start ?? 0, to: barNumbered(bars, span.to)?.end ?? 0 };
}

/** Where a programme begins when it is asked to from a second: there, or where it has its first bar. */
export function startOf(programme: Programme, second: number): Place {
  const { from, to } = secondsOf(programme);
  return { sketch: programme.sketch, second: second < from || second >= to ? from : second };
}

/** What comes after the end of the music of one of its stages; undefined where that was all. */
export function afterEnd(programme: Programme, ended: Sketch): Place | undefined {
  const { sketch, span, other } = programme;
  if (span === undefined) return undefined;
  const turned = other !== undefined && ended === sketch ? other : sketch;
  for (const next of [turned, sketch]) {
    const { from, to } = secondsOf(programme, next);
    if (to - from > SHORTEST_SECONDS) return { sketch: next, second: from };
  }
  return undefined;
}

/** The same bar of another stage. */
export function placeIn(sketch: Sketch, place: Place): number {
  return place.sketch === sketch ? place.second : samePlace(place.sketch.bars, place.second, sketch.bars);
}
