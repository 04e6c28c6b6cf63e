import type { PlayedNote } from '../../src/model/music/arrangement.ts';
import type { Timeline } from '../../src/model/music/timeline.ts';
import { quartersAt } from '../../src/model/music/timeline.ts';

/** A note of moderate strength on the first track, played from one second to another, without pedal. */
export function playedBetween(timeline: Timeline, midi: number, startSecond: number, endSecond: number): PlayedNote {
  return {
    midi,
    velocity: 80,
    startQuarters: quartersAt(timeline, startSecond),
    endQuarters: quartersAt(timeline, endSecond),
    startSecond,
    endSecond,
    soundingEndSecond: endSecond,
    trackIndex: 0,
  };
}
