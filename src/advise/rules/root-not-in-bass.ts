import type { ChordSpan } from '../../model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import { pitchClassOf } from '../../model/pitch.ts';
import { gatheredRuns } from '../bar-runs.ts';
import { chordBeats, lastBarOf } from '../chord-beats.ts';
import type { RuleContext } from '../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../rule.ts';
import { barListText, placeText, signedText } from '../words.ts';

const LEAST_COVERAGE = 0.75;

interface Inverted {
  readonly chord: ChordSpan;
  readonly beats: number;
  readonly isLast: boolean;
}

/** True where the bass is the fifth and the next chord stands on the same bass: a six-four chord that leads to the dominant. */
function isCadential(chord: ChordSpan, next: ChordSpan | undefined): boolean {
  return next !== undefined && pitchClassOf(next.root) === pitchClassOf(chord.bass);
}

function invertedChords({ chords, stage, limit }: RuleContext): readonly Inverted[] {
  return chords.flatMap((chord, index) => {
    const isLast = index === chords.length - 1;
    const bass = pitchClassOf(chord.bass);
    if (chord.coverage < LEAST_COVERAGE || bass === pitchClassOf(chord.root)) return [];
    const beats = chordBeats(chord, stage.timeline);
    const isFifth = bass === chord.tones[2];
    if (!isLast && (!isFifth || beats < limit - 1e-6 || isCadential(chord, chords[index + 1]))) return [];
    return { chord, beats, isLast };
  });
}

export const rootNotInBass = defineRule(
  {
    name: 'root-not-in-bass',
    title: 'A long chord over its fifth',
    looksAt:
      'Chords in second inversion that last and do not lead to the dominant over the same bass, and a last chord that is not over its root. Chords are estimated.',
    why: 'A chord over its fifth sounds as if it wanted to go on; held for long, or at the end, it leaves the ground open.',
    limit: { standard: 6, unit: 'beats', meaning: 'shortest chord over its fifth that is mentioned' },
    source: COMMON_PRACTICE,
    level: 'note',
  },
  (context) =>
    gatheredRuns(
      invertedChords(context),
      ({ chord }) => chord.bar,
      1,
      ({ chord }) => lastBarOf(chord, context.stage.timeline),
    ).map(({ from, to, items }) => {
      const longest = items.reduce((most, item) => (item.isLast || item.beats > most.beats ? item : most));
      const { chord, isLast } = longest;
      const place = placeText(context.stage.timeline, chord.start / DIVISIONS_PER_QUARTER);
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [],
        message: `${isLast ? 'The last chord' : 'The chord'} at ${place}, ${signedText(chord.symbol)}, has its root not in the bass${items.length === 1 ? '' : `; so have long chords in ${barListText(items.map((item) => item.chord.bar))}`} (chords are estimated).`,
        advice: 'Let the bass take the root, or leave it where the open ground is meant.',
        amount: items.reduce((sum, item) => sum + item.beats, 0),
      };
    }),
);
