import type { EntryEvent } from '../../../model/readings/pacing.ts';
import { barRuns } from '../../bar-runs.ts';
import { isLed } from '../../leads.ts';
import type { RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { barSpanText, counted } from '../../../model/words/plain-words.ts';
import { namesText, rounded } from '../../words.ts';

/** More entries off the phrase than this are how the piece is made: imitation, dialogue. */
const MOST_ENTRIES = 2;

/** So many bars at the end are the close. */
const CLOSING_BARS = 2;

/**
 * Entries that are heard as events: background parts that come in at once. Percussion marks accents and cadences, wherever
 * they fall; who comes from nothing or under a sounding note is not meant to be noticed.
 */
function heardEntries(context: RuleContext): readonly EntryEvent[] {
  const { readings, partById, front, stage, limit } = context;
  const first = stage.timeline.bars[0]?.number ?? 1;
  const last = stage.timeline.bars.at(-1)?.number ?? first;
  return (readings.pacing?.entries ?? []).filter((entry) => {
    const part = partById.get(entry.partId)?.part;
    if (part === undefined || part.family === 'percussion' || entry.kind !== 'at-once') return false;
    // Whoever is there joins the last chords.
    if (!isLed(context, entry.bar) || entry.bar > last - CLOSING_BARS) return false;
    return entry.restBars >= limit && !(front[entry.bar - first]?.has(entry.partId) ?? false);
  });
}

export const entryOffPhrase = defineRule(
  {
    name: 'entry-off-phrase',
    title: 'An entry off the phrase',
    looksAt:
      'Background parts that come in at once after a long rest, more than a beat from the beginning of a section, of a phrase of the foreground and of every fourth bar of the section; where there are more than two the piece is made so.',
    why: 'A new timbre is heard as the beginning of something: with a new phrase it lifts it, in the middle of one it asks why now.',
    limit: { standard: 4, unit: 'bars', meaning: 'how long a part must have rested for its entry to count' },
    source: `N. Rimsky-Korsakov, Principles of Orchestration, ch. III (a new group or part comes with a new idea or phrase); the count of four bars: ${COMMON_PRACTICE}`,
    level: 'note',
    followsFromPlace: true,
  },
  (context) => {
    const entries = heardEntries(context);
    const off = entries.filter((entry) => entry.comesWith === 'nothing');
    // Where most entries stand there the count is not that of the music, or the music is made so.
    if (off.length * 2 > entries.length || off.length > MOST_ENTRIES || !context.idiom.strictHarmony) return [];
    return barRuns(off, ({ bar }) => bar).flatMap(({ from, to, items }) => {
      const parts = items.flatMap(({ partId }) => context.partById.get(partId)?.part ?? []);
      const [first] = items;
      if (first === undefined) return [];
      const distinct = parts.filter((part, index) => parts.indexOf(part) === index);
      const rest = `${counted(first.restBars, 'bar')} (${rounded(first.restSeconds, 0)} s) of rest`;
      const others = items.length > 1 ? ` The first comes after ${rest}.` : '';
      const after = items.length > 1 ? '' : ` after ${rest}`;
      return [
        {
          level: 'note' as const,
          from,
          to,
          partIds: distinct.map((part) => part.id),
          message: `${namesText(distinct)} ${distinct.length === 1 ? 'comes' : 'come'} in at once in ${barSpanText(from, to)}${after}, where no section or phrase begins.${others}`,
          advice:
            'Let the entry come with a phrase, or from nothing or under a sounding note, unless the interruption is meant.',
          amount: Math.max(...items.map(({ restBars }) => restBars)),
          // Who comes back after bars that were lost comes in where he should never have stopped.
          yieldsBeside: ['broken-line'] as const,
        },
      ];
    });
  },
);
