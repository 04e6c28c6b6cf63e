import type { Slice, SoundingNote } from '../../../analyse/placed-notes/slices.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import { isDescant } from '../../../model/words/descant.ts';
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

/** A chord of three notes and more has no line that could cross another: what interlocks there is a texture. */
const CHORD_NOTES = 3;

interface Crossed {
  readonly bar: number;
  readonly beats: number;
  readonly slice: Slice;
  readonly above: SoundingNote;
  readonly below: SoundingNote;
  readonly semitones: number;
}

/** What a part sounds in a slice, the lowest first. */
function soundedBy(partIndex: number, slice: Slice): readonly SoundingNote[] {
  return slice.sounding.filter((item) => item.partIndex === partIndex);
}

/** The tops of both parts where the lower one lies above the upper with its top and with its bottom. */
function crossedTops(upper: number, lower: number, slice: Slice): Pick<Crossed, 'above' | 'below'> | undefined {
  const [high, low] = [soundedBy(upper, slice), soundedBy(lower, slice)];
  if (high.length >= CHORD_NOTES || low.length >= CHORD_NOTES) return undefined;
  const [below, above] = [high.at(-1), low.at(-1)];
  const [bottom, lifted] = [high[0], low[0]];
  if (below === undefined || above === undefined || bottom === undefined || lifted === undefined) return undefined;
  const isCrossed = above.note.midi > below.note.midi && lifted.note.midi > bottom.note.midi;
  return isCrossed ? { above, below } : undefined;
}

function crossedBars(upper: number, lower: number, context: RuleContext): readonly Crossed[] {
  const { slices, stage, front, parts } = context;
  const lowerId = parts[lower]?.part.id ?? '';
  const byBar = new Map<number, Crossed>();
  for (const slice of slices) {
    const tops = crossedTops(upper, lower, slice);
    const bar = stage.timeline.bars[slice.barIndex];
    if (tops === undefined || bar === undefined || (front[slice.barIndex]?.has(lowerId) ?? false)) continue;
    const semitones = tops.above.note.midi - tops.below.note.midi;
    const known = byBar.get(slice.barIndex);
    const beats = (slice.endQuarters - slice.startQuarters) / pulseQuarters(bar.meter) + (known?.beats ?? 0);
    const further = known === undefined || semitones > known.semitones;
    byBar.set(slice.barIndex, { ...(further ? { slice, semitones, ...tops } : known), bar: bar.number, beats });
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
      'Numbered parts of one kind, and neighbors among the strings, where the lower one lies above the higher one for long, with its highest note and with its lowest; chords of three notes and more, and what is called a descant, cross nothing.',
    why: 'Crossed parts exchange their roles in timbre and balance; a short crossing is a device, a long one is often an exchange that nobody decided.',
    limit: { standard: 12, unit: 'beats', meaning: 'how long two parts may stay crossed in adjacent bars' },
    source: COMMON_PRACTICE,
    level: 'note',
    followsFromPlace: true,
    yieldsTo: ['background-above-melody'],
  },
  (context) => {
    const { parts, limit, stage } = context;
    return parts.flatMap((one, upper) =>
      parts.flatMap((other, lower) => {
        if (upper === lower || !areNeighbours(one, other) || isDescant(other.part, stage.parts)) return [];
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
          const { above, below } = furthest;
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
