import type { NeededTone } from '../../../analyse/harmony/chord-gaps.ts';
import { lackingTones, partsIn } from '../../../analyse/harmony/chord-gaps.ts';
import { barSpanText, counted, listText } from '../../../model/words/plain-words.ts';
import type { ChordSpan } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { barIndexAt } from '../../../model/music/timeline.ts';
import { barRuns } from '../../bar-runs.ts';
import { chordBeats, lastBarOf } from '../../chord-beats.ts';
import { isLed } from '../../leads.ts';
import type { RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { beatsText, placeText, signedText } from '../../words.ts';

/** With fewer background parts nobody expects whole chords of them. */
const FEWEST_PARTS = 3;
const LEAST_COVERAGE = 0.75;
/** Chords shorter than this pass by. */
const SHORTEST_BEATS = 1;

interface Hollow {
  readonly chord: ChordSpan;
  readonly tones: readonly NeededTone[];
  readonly beats: number;
}

function hollowChords(context: RuleContext): readonly Hollow[] {
  const { readings, chords, stage, front, idiom } = context;
  if (!idiom.strictHarmony) return [];
  const { bars } = stage.timeline;
  return readings.coverage.flatMap((coverage) => {
    const chord = chords[coverage.chord];
    if (chord === undefined || chord.coverage < LEAST_COVERAGE || !isLed(context, chord.bar)) return [];
    const barIndex = barIndexAt(bars, chord.start / DIVISIONS_PER_QUARTER);
    const ahead = front[barIndex] ?? new Set<string>();
    const sounding = partsIn(coverage);
    const background = [...sounding].filter((id) => !ahead.has(id));
    if (background.length < FEWEST_PARTS || background.length === sounding.size) return [];
    const missing = new Set(lackingTones(chord, coverage, new Set()).map(({ tone }) => tone));
    const tones = lackingTones(chord, coverage, ahead).flatMap(({ tone }) => (missing.has(tone) ? [] : [tone]));
    const beats = chordBeats(chord, stage.timeline);
    return tones.length === 0 || beats < SHORTEST_BEATS - 1e-6 ? [] : { chord, tones, beats };
  });
}

export const hollowWithoutForeground = defineRule(
  {
    name: 'hollow-without-foreground',
    title: 'Hollow without the soloist',
    looksAt:
      'Chords whose root or third only the foreground has, though three or more background parts sound; by the length of such a passage, where it is sure who leads. Chords are estimated; jazz, songs and film are left out.',
    why: 'What the soloist alone holds together is gone where the soloist rests, rushes or ornaments: take the solo away and listen.',
    limit: {
      standard: 8,
      unit: 'beats',
      meaning: 'how long the background may lean on the foreground, in chords of adjacent bars',
    },
    source: COMMON_PRACTICE,
    level: 'note',
    yieldsTo: ['incomplete-chord'],
  },
  (context) =>
    barRuns(
      hollowChords(context),
      ({ chord }) => chord.bar,
      0,
      ({ chord }) => lastBarOf(chord, context.stage.timeline),
    ).flatMap(({ from, to, items }) => {
      const beats = items.reduce((sum, hollow) => sum + hollow.beats, 0);
      if (beats < context.limit - 1e-6) return [];
      const longest = items.reduce((most, hollow) => (hollow.beats > most.beats ? hollow : most));
      const { chord, tones } = longest;
      const ids = context.stage.foreground.filter((span) => span.from <= to && span.to >= from);
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [...new Set(ids.map(({ partId }) => partId))],
        message: `Without the foreground ${counted(items.length, 'chord')} in ${barSpanText(from, to)} (${beatsText(beats)}) would lack root or third, as ${signedText(chord.symbol)} at ${placeText(context.stage.timeline, chord.start / DIVISIONS_PER_QUARTER)} its ${listText(tones)} (chords are estimated).`,
        advice: 'Let an inner part take the missing tone, softly; the foreground keeps it as well.',
        amount: beats,
      };
    }),
);
