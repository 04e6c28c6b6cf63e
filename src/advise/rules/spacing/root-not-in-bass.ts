import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import type { ChordSpan } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { pitchClassOf } from '../../../model/music/pitch.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { chordBeats, lastBarOf } from '../../chord-beats.ts';
import type { RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { elsewhereText, placeText, signedText } from '../../words.ts';

const LEAST_COVERAGE = 0.75;
/** A bass note shorter than this (half a quarter) is an ornament. */
const SHORTEST_BASS_QUARTERS = 0.45;
/** Styles in which the last chord may stand on any of its notes. */
const OPEN_ENDS: readonly EnsembleKind[] = ['combo', 'big-band', 'electronic'];

interface Inverted {
  readonly chord: ChordSpan;
  readonly beats: number;
  readonly isLast: boolean;
}

/** True where the bass is the fifth and the next chord stands on the same bass: a six-four chord that leads to the dominant. */
function isCadential(chord: ChordSpan, next: ChordSpan | undefined): boolean {
  return next !== undefined && pitchClassOf(next.root) === pitchClassOf(chord.bass);
}

/** True where the same bass lies under the chord before or after: a pedal point. */
function isOverPedal(chord: ChordSpan, before: ChordSpan | undefined, after: ChordSpan | undefined): boolean {
  return [before, after].some((other) => other !== undefined && pitchClassOf(other.bass) === pitchClassOf(chord.bass));
}

/** True where the lowest sound is the root for a good part of the chord: a broken bass has both. */
function touchesRoot(chord: ChordSpan, { slices }: RuleContext): boolean {
  const from = chord.start / DIVISIONS_PER_QUARTER;
  const to = from + chord.length / DIVISIONS_PER_QUARTER;
  const root = pitchClassOf(chord.root);
  return slices.some(
    ({ startQuarters, endQuarters, sounding }) =>
      startQuarters >= from - 1e-6 &&
      startQuarters < to - 1e-6 &&
      endQuarters - startQuarters >= SHORTEST_BASS_QUARTERS &&
      (sounding[0]?.note.midi ?? 0) % 12 === root,
  );
}

function invertedChords(context: RuleContext): readonly Inverted[] {
  const { chords, stage, limit, idiom } = context;
  return chords.flatMap((chord, index) => {
    const isLast = index === chords.length - 1;
    const bass = pitchClassOf(chord.bass);
    if (chord.coverage < LEAST_COVERAGE || bass === pitchClassOf(chord.root)) return [];
    const beats = chordBeats(chord, stage.timeline);
    const isFifth = bass === chord.tones[2];
    if (touchesRoot(chord, context)) return [];
    if (!isLast && (!idiom.strictHarmony || isOverPedal(chord, chords[index - 1], chords[index + 1]))) return [];
    if (!isLast && (!isFifth || beats < limit - 1e-6 || isCadential(chord, chords[index + 1]))) return [];
    return { chord, beats, isLast };
  });
}

export const rootNotInBass = defineRule(
  {
    name: 'root-not-in-bass',
    title: 'A long chord over its fifth',
    looksAt:
      'Chords in second inversion that last, neither lead to the dominant over the same bass nor stand over a pedal point, and a last chord that is not over its root. Chords are estimated; jazz, songs and film are left out.',
    why: 'A chord over its fifth sounds as if it wanted to go on; held for long, or at the end, it leaves the ground open.',
    limit: { standard: 6, unit: 'beats', meaning: 'shortest chord over its fifth that is mentioned' },
    source: COMMON_PRACTICE,
    level: 'note',
  },
  (context) =>
    gatheredRuns(
      OPEN_ENDS.includes(context.idiom.kind) ? [] : invertedChords(context),
      ({ chord }) => chord.bar,
      1,
      ({ chord }) => lastBarOf(chord, context.stage.timeline),
    ).map((run) => {
      const { from, to, items } = run;
      const longest = items.reduce((most, item) => (item.isLast || item.beats > most.beats ? item : most));
      const { chord, isLast } = longest;
      const place = placeText(context.stage.timeline, chord.start / DIVISIONS_PER_QUARTER);
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [],
        message: `${isLast ? 'The last chord' : 'The chord'} at ${place}, ${signedText(chord.symbol)}, has its root not in the bass${elsewhereText(run)} (chords are estimated).`,
        advice: 'Let the bass take the root, or leave it where the open ground is meant.',
        amount: items.reduce((sum, item) => sum + item.beats, 0),
      };
    }),
);
