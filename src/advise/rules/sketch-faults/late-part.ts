import { barSpanText } from '../../../model/words/plain-words.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { playsOrSings, rounded } from '../../words.ts';

/** A few onsets make no delay. */
const FEWEST_NOTES = 4;
/** Kinds of music in which who leads lays back on the beat that others keep, ... */
const LAID_BACK: readonly EnsembleKind[] = ['combo', 'big-band', 'band'];
/** ... by so many times the limit: soloists' downbeats lie up to a tenth of a second behind the cymbal (A. Friberg & A. Sundström 2002, from memory). */
const LAID_BACK_FACTOR = 2;

/** True for a part that leads in most of the bars in which it plays. */
function isMostlyInFront({ part: { id } }: JudgedPart, { front, readings, stage }: RuleContext): boolean {
  const first = stage.timeline.bars[0]?.number ?? 1;
  const bars = readings.register.flatMap(({ partId, bar }) => (partId === id ? [bar] : []));
  return bars.filter((bar) => front[bar - first]?.has(id) === true).length * 2 > bars.length;
}

export const latePart = defineRule(
  {
    name: 'late-part',
    title: 'A part consistently early or late',
    looksAt:
      'The median distance of performed from written onsets of each part, late or early. In jazz and bands who leads may lie twice as far behind.',
    why: 'A constant delay comes from the sound or the recording, not from the music, and blurs chords that should be together.',
    limit: { standard: 40, unit: 'ms', meaning: 'median distance from the written onsets' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  (context) =>
    context.parts.flatMap((judged) => {
      const { part, notes } = judged;
      const { readings, idiom, limit } = context;
      const { median, spread } = part.latenessMs;
      const laysBack = median > 0 && LAID_BACK.includes(idiom.kind) && isMostlyInFront(judged, context);
      const most = limit * (laysBack ? LAID_BACK_FACTOR : 1);
      if (notes.length < FEWEST_NOTES || part.unpitched || Math.abs(median) <= most) return [];
      const spans = readings.presence.filter((span) => span.partId === part.id);
      const from = Math.min(...spans.map((span) => span.from));
      const to = Math.max(...spans.map((span) => span.to));
      if (spans.length === 0) return [];
      // Where the onsets scatter more than they are displaced, it is free playing and no constant delay.
      const constant = spread <= Math.abs(median);
      return {
        level: constant ? ('look' as const) : ('note' as const),
        from,
        to,
        partIds: [part.id],
        message: `${part.name} ${playsOrSings([part])} about ${rounded(Math.abs(median), 0)} ms ${median > 0 ? 'late' : 'early'} in ${barSpanText(from, to)} (median; spread ${rounded(spread, 0)} ms).`,
        advice: constant
          ? 'Shift the track by that much; written notes in this dossier already have it taken out.'
          : 'The onsets scatter, as in free playing: leave it if it is meant.',
        amount: Math.abs(median) / Math.max(limit, 1),
      };
    }),
);
