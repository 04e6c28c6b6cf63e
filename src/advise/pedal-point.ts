/** A tone held or struck again under changing harmony: no chord explains it, and none has to. */
import { pitchClassOf } from '../model/music/pitch.ts';
import { lastAtOrBefore } from '../model/sorted-search.ts';
import { barIndexAt } from '../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../model/music/written.ts';
import type { RuleContext } from './rule.ts';

/** Bars about a place in which a part has nothing but the tone. */
const BARS_ABOUT = 1;

/** Pitch classes that the lowest part has and keeps, or that two parts keep, or one in octaves, about a place in quarters. */
export function pedalTones(
  { parts, slices, chords, stage: { timeline } }: Pick<RuleContext, 'parts' | 'slices' | 'chords' | 'stage'>,
  quarters: number,
): ReadonlySet<number> {
  const { bars } = timeline;
  const index = barIndexAt(bars, quarters);
  const from = bars[Math.max(0, index - BARS_ABOUT)]?.startQuarters ?? 0;
  const next = bars[Math.min(bars.length - 1, index + BARS_ABOUT)];
  const to = (next?.startQuarters ?? 0) + (next?.lengthQuarters ?? 0);
  const slice = slices[lastAtOrBefore(slices, quarters + 1e-6, ({ startQuarters }) => startQuarters)];
  if (slice === undefined || slice.startQuarters > quarters + 1e-6 || slice.endQuarters <= quarters) return new Set();
  // Where the harmony stays, what stays with it is a chord.
  const roots = new Set(
    chords.flatMap(({ start, length, root }) => {
      const [begin, end] = [start / DIVISIONS_PER_QUARTER, (start + length) / DIVISIONS_PER_QUARTER];
      return begin < to && end > from ? [pitchClassOf(root)] : [];
    }),
  );
  if (roots.size < 2) return new Set();
  const keepers = new Map<number, number>();
  const kept = new Set<number>();
  for (const { partIndex } of slice.sounding) {
    if (kept.has(partIndex)) continue;
    const about = (parts[partIndex]?.notes ?? []).filter((note) => note.startQuarters < to && note.endQuarters > from);
    const tones = new Set(about.map(({ midi }) => midi % 12));
    const [tone] = tones;
    const spanned =
      Math.max(...about.map(({ endQuarters }) => endQuarters)) -
      Math.min(...about.map(({ startQuarters }) => startQuarters));
    // More than two bars of nothing else.
    if (tones.size !== 1 || tone === undefined || spanned < (2 * (to - from)) / 3 - 1e-6) continue;
    kept.add(partIndex);
    const octaves = new Set(about.map(({ midi }) => midi)).size;
    keepers.set(tone, (keepers.get(tone) ?? 0) + octaves);
  }
  const lowest = slice.sounding[0];
  return new Set(
    [...keepers]
      .filter(
        ([tone, count]) =>
          count > 1 || (lowest !== undefined && lowest.note.midi % 12 === tone && kept.has(lowest.partIndex)),
      )
      .map(([tone]) => tone),
  );
}
