/** How long a chord lasts, as a musician counts. */
import type { Timeline } from '../model/music/timeline.ts';
import { barAndBeat, barIndexAt, pulseQuarters } from '../model/music/timeline.ts';
import type { ChordSpan } from '../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../model/music/written.ts';

/** Length in beats of the bar in which the chord starts. */
export function chordBeats(chord: ChordSpan, { bars }: Timeline): number {
  const bar = bars[barIndexAt(bars, chord.start / DIVISIONS_PER_QUARTER)];
  return bar === undefined ? 0 : chord.length / DIVISIONS_PER_QUARTER / pulseQuarters(bar.meter);
}

/** Number of the last bar in which the chord is in force. */
export function lastBarOf(chord: ChordSpan, { bars }: Timeline): number {
  return barAndBeat(bars, (chord.start + chord.length - 1) / DIVISIONS_PER_QUARTER).bar;
}
