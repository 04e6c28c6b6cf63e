/**
 * Timpani a semitone beside the triad that all others have: they are tuned to tones of the key, and where it has changed they strike what they were tuned
 * to before (common practice, no source). The cases and their limits are ours.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { FalseTone } from './false-tones.ts';
import { AGAINST_SHARE, besideIn, besideTriad } from './false-tones.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice } from '../placed-notes/slices.ts';

/** A drum is out of tune where its tone counts for a quarter at least, in whatever meter: what is quicker goes by, as in a scale on pedal drums. */
const LEAST_QUARTERS = 1;
/** What nobody else has but in passing. */
const SUPPORT_SHARE = 0.1;

/** The root of a whole triad a semitone above a stroke: no drum has the major seventh of a chord alone. */
function rootAbove(own: number, has: (pitchClass: number) => boolean): number | undefined {
  const root = (own + 1) % 12;
  const isWhole = has(root) && [3, 4].some((third) => has((root + third) % 12)) && has((root + 7) % 12);
  return isWhole ? root : undefined;
}

/** Strokes of timpani beside the triad of all others, bar by bar, of `leastBeats` beats and more. */
export function falseStrokesOf(
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  { bars }: Timeline,
  leastBeats: number,
): readonly FalseTone[] {
  const isDrum = placed.map(({ part }) => part.instrument === 'timpani');
  if (!isDrum.includes(true)) return [];
  return [...groupedBy(slices, ({ barIndex }) => barIndex)].flatMap(([barIndex, own]): FalseTone[] => {
    const bar = bars[barIndex];
    const strikes = own.some(({ sounding }) => sounding.some(({ partIndex }) => isDrum[partIndex]));
    if (bar === undefined || !strikes) return [];
    const beat = pulseQuarters(bar.meter);
    return besideIn(own, false).flatMap(({ partIndex, total, held, who, first }): FalseTone[] => {
      if (isDrum[partIndex] !== true || total < Math.max(LEAST_QUARTERS, leastBeats * beat) - 1e-6) return [];
      const pitchClass = first.midi % 12;
      if ((held[pitchClass] ?? 0) > SUPPORT_SHARE * total) return [];
      const has = (tone: number): boolean => tone !== pitchClass && (held[tone] ?? 0) >= AGAINST_SHARE * total;
      const right = besideTriad(pitchClass, has) ?? rootAbove(pitchClass, has);
      const against = right === undefined ? undefined : who.get(right);
      return against === undefined
        ? []
        : [{ barIndex, partIndex, note: first, beats: total / beat, against, isBass: false }];
    });
  });
}
