import type { Slice } from '../../../analyse/placed-notes/slices.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import { barRuns, toldTogether } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { barListText, beatsText, elsewhereText, pitchText, placeText, verb } from '../../words.ts';

/** High to low, as they stand in the score. */
const STRINGS = ['violin', 'viola', 'cello', 'double-bass'];

/** True where `lower` is expected under `upper`: the next number of one kind, or the next lower strings. */
function areNeighbours({ part: upper }: JudgedPart, { part: lower }: JudgedPart): boolean {
  if (upper.instrument === 'unknown' || upper.unpitched) return false;
  if (upper.instrument === lower.instrument) {
    return upper.number !== undefined && lower.number === upper.number + 1;
  }
  const place = STRINGS.indexOf(upper.instrument);
  return place >= 0 && STRINGS.indexOf(lower.instrument) === place + 1;
}

/** Other strings than those of one kind cross freely: it takes so many times the limit. */
const OTHER_KIND_FACTOR = 2;

interface Crossed {
  readonly bar: number;
  readonly beats: number;
  readonly slice: Slice;
  readonly semitones: number;
}

function crossedBars(upper: number, lower: number, context: RuleContext): readonly Crossed[] {
  const { slices, stage, front, parts } = context;
  const lowerId = parts[lower]?.part.id ?? '';
  const byBar = new Map<number, Crossed>();
  for (const slice of slices) {
    const above = slice.sounding.find(({ partIndex }) => partIndex === upper);
    const below = slice.sounding.findLast(({ partIndex }) => partIndex === lower);
    const bar = stage.timeline.bars[slice.barIndex];
    if (above === undefined || below === undefined || bar === undefined) continue;
    const semitones = below.note.midi - above.note.midi;
    if (semitones <= 0 || (front[slice.barIndex]?.has(lowerId) ?? false)) continue;
    const known = byBar.get(slice.barIndex);
    const beats = (slice.endQuarters - slice.startQuarters) / pulseQuarters(bar.meter) + (known?.beats ?? 0);
    const further = known === undefined || semitones > known.semitones;
    byBar.set(slice.barIndex, { ...(further ? { slice, semitones } : known), bar: bar.number, beats });
  }
  return [...byBar.values()];
}

function beatsIn(crossed: readonly Crossed[]): number {
  return crossed.reduce((sum, { beats }) => sum + beats, 0);
}

export const crossing = defineRule(
  {
    name: 'crossing',
    title: 'Parts that cross for long',
    looksAt:
      'Numbered parts of one kind, and neighbors among the strings, where the lower one sounds above the higher one for long.',
    why: 'Crossed parts exchange their roles in timbre and balance; a short crossing is a device, a long one is often an exchange that nobody decided.',
    limit: { standard: 12, unit: 'beats', meaning: 'how long two parts may stay crossed in adjacent bars' },
    source: COMMON_PRACTICE,
    level: 'note',
    yieldsTo: ['background-above-melody'],
  },
  (context) => {
    const { parts, limit, stage } = context;
    return parts.flatMap((one, upper) =>
      parts.flatMap((other, lower) => {
        if (upper === lower || !areNeighbours(one, other)) return [];
        const long = barRuns(crossedBars(upper, lower, context), ({ bar }) => bar).filter(
          ({ items }) =>
            beatsIn(items) > limit * (one.part.instrument === other.part.instrument ? 1 : OTHER_KIND_FACTOR),
        );
        return toldTogether(
          long,
          () => '',
          ({ items }) => beatsIn(items),
        ).flatMap((run) => {
          const { from, to, items } = run;
          const beats = beatsIn(items);
          const furthest = items.reduce((most, item) => (item.semitones > most.semitones ? item : most));
          const above = furthest.slice.sounding.findLast(({ partIndex }) => partIndex === lower);
          const below = furthest.slice.sounding.find(({ partIndex }) => partIndex === upper);
          if (above === undefined || below === undefined) return [];
          return {
            level: 'note' as const,
            from,
            to,
            partIds: [other.part.id, one.part.id],
            message: `${other.part.name} ${verb([other.part], 'lies', 'lie')} above ${one.part.name} for ${beatsText(beats)} in ${barListText(items.map(({ bar }) => bar))}: ${pitchText(above.note.written.pitch, other.part)} over ${pitchText(below.note.written.pitch, one.part)} at ${placeText(stage.timeline, furthest.slice.startQuarters)}${elsewhereText(run)}.`,
            advice: 'Exchange the two lines, unless the timbre of the crossing is meant.',
            notes: [...foundNotes(other.part, [above.note]), ...foundNotes(one.part, [below.note])],
            amount: beats,
          };
        });
      }),
    );
  },
);
