import { lackingTones, partsIn } from '../../analyse/chord-gaps.ts';
import type { NeededTone } from '../../analyse/chord-gaps.ts';
import { listText } from '../../model/plain-words.ts';
import type { ChordSpan } from '../../model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import { gatheredRuns } from '../bar-runs.ts';
import { chordBeats, lastBarOf } from '../chord-beats.ts';
import type { RuleContext } from '../rule.ts';
import { defineRule } from '../rule.ts';
import { barListText, placeText, signedText } from '../words.ts';

/** Two parts make no claim to a whole chord. */
const FEWEST_PARTS = 3;
/** So much of the sound must be explained by the chord: a doubtful reading is no ground for a remark. */
const LEAST_COVERAGE = 0.85;

interface Lack {
  readonly chord: ChordSpan;
  readonly tones: readonly NeededTone[];
  readonly beats: number;
}

function lacksOf({ readings, chords, stage, limit }: RuleContext): readonly Lack[] {
  return readings.coverage.flatMap((coverage) => {
    const chord = chords[coverage.chord];
    if (chord === undefined || chord.coverage < LEAST_COVERAGE || partsIn(coverage).size < FEWEST_PARTS) return [];
    const beats = chordBeats(chord, stage.timeline);
    const tones = lackingTones(chord, coverage, new Set()).map(({ tone }) => tone);
    return tones.length === 0 || beats < limit - 1e-6 ? [] : { chord, tones, beats };
  });
}

export const incompleteChord = defineRule(
  {
    name: 'incomplete-chord',
    title: 'A chord without its root or third',
    looksAt:
      'Chords of at least three parts in which nobody sounds the root or the third. Chords are estimated from the notes; those that explain less than 85 % of the sound are left out.',
    why: 'The third says whether a chord is major or minor and the root what it is; the fifth may be missing.',
    limit: { standard: 2, unit: 'beats', meaning: 'shortest chord that is judged' },
    source:
      'four-part writing as taught (mymusictheory.com on doubling; K. Kothman on chord spacing): never leave out root or third',
    level: 'note',
  },
  (context) =>
    gatheredRuns(
      lacksOf(context),
      ({ chord }) => chord.bar,
      1,
      ({ chord }) => lastBarOf(chord, context.stage.timeline),
    ).map(({ from, to, items }) => {
      const longest = items.reduce((most, lack) => (lack.beats > most.beats ? lack : most));
      const { chord, tones } = longest;
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [],
        message: `Nobody has the ${listText(tones)} of ${signedText(chord.symbol)} at ${placeText(context.stage.timeline, chord.start / DIVISIONS_PER_QUARTER)}${items.length === 1 ? '' : `; chords lack root or third in ${barListText(items.map((lack) => lack.chord.bar))}`} (chords are estimated).`,
        advice: 'Give it to an inner part, unless the empty sound is meant.',
        amount: items.reduce((sum, lack) => sum + lack.beats, 0),
      };
    }),
);
