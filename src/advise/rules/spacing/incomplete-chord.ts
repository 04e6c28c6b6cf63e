import { lackingTones, partsIn } from '../../../analyse/harmony/chord-gaps.ts';
import type { NeededTone } from '../../../analyse/harmony/chord-gaps.ts';
import { listText } from '../../../model/words/plain-words.ts';
import type { ChordSpan } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { barIndexAt, pulseQuarters } from '../../../model/music/timeline.ts';
import { firstReaching } from '../../../model/sorted-search.ts';
import { pitchClassOf } from '../../../model/music/pitch.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { pedalTones } from '../../pedal-point.ts';
import { chordBeats, lastBarOf } from '../../chord-beats.ts';
import type { Slice } from '../../../analyse/placed-notes/slices.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import type { RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { elsewhereText, placeText, signedText } from '../../words.ts';

/** More open chords than this share of all are how the music sounds: drones, fifths, calls of horns. Our convention. */
const HABIT_SHARE = 0.1;
const FEW = 2;
/** Two parts make no claim to a whole chord. */
const FEWEST_PARTS = 3;
/** So much of the sound must be explained by the chord: a doubtful reading is no ground for a remark. */
const LEAST_COVERAGE = 0.85;

const TRIADS: readonly string[] = ['major', 'minor'];
const SURE_COVERAGE = 0.9;

/** Where harmony is free a bare last chord is told only of music whose chords nearly all have their third, so many of them at least; a seventh chord may lack it in jazz. Our conventions. */
const THIRDS_SHARE = 0.9;
const FEWEST_CHORDS = 6;
const OPEN_BY_NATURE: readonly EnsembleKind[] = ['electronic', 'percussion'];

interface Lack {
  readonly chord: ChordSpan;
  readonly tones: readonly NeededTone[];
  readonly beats: number;
  /** True of a chord that all strike and leave together, a whole bar long. */
  readonly isApart?: boolean;
}

/** Who strikes a chord and stays holds it for so much of its bar. Our convention. */
const STAYS = 0.75;

/**
 * Bars inside a longer chord that all strike together at the line and leave before the next one: the end of a phrase stands for itself, and the third
 * of the bar before or after is not heard in it.
 */
function struckLacks({ slices, stage, limit, parts }: RuleContext, chord: ChordSpan): readonly Lack[] {
  const from = chord.start / DIVISIONS_PER_QUARTER;
  const to = from + chord.length / DIVISIONS_PER_QUARTER;
  const [root, third, fifth] = chord.tones;
  if (!TRIADS.includes(chord.quality) || third === undefined) return [];
  const { bars } = stage.timeline;
  return bars.slice(barIndexAt(bars, from), barIndexAt(bars, to - 1e-6) + 1).flatMap((bar): readonly Lack[] => {
    const { startQuarters, lengthQuarters, number } = bar;
    const end = startQuarters + lengthQuarters;
    const isWhole = lengthQuarters >= to - from - 1e-6;
    if (isWhole || startQuarters < from - 1e-6 || end > to + 1e-6) return [];
    const first = firstReaching(slices, ({ endQuarters }) => endQuarters > startQuarters + 1e-6);
    const last = firstReaching(slices, (slice) => slice.startQuarters >= end - 1e-6);
    const sounding = slices.slice(first, last).flatMap((slice) => slice.sounding);
    const isApart = sounding.every(
      ({ note }) => note.startQuarters >= startQuarters - 1e-6 && note.endQuarters <= end + 1e-6,
    );
    const classes = new Set(sounding.map(({ note }) => note.midi % 12));
    const isOpen = [root, fifth].every((tone) => tone !== undefined && classes.has(tone)) && classes.size === 2;
    const stays = sounding.filter(
      ({ note, partIndex }) =>
        parts[partIndex]?.part.unpitched === false &&
        note.startQuarters <= startQuarters + 1e-6 &&
        note.endQuarters - startQuarters >= STAYS * lengthQuarters - 1e-6,
    );
    const beats = lengthQuarters / pulseQuarters(bar.meter);
    const players = new Set(stays.map(({ partIndex }) => partIndex)).size;
    if (!isApart || !isOpen || players < FEWEST_PARTS || beats < limit - 1e-6) return [];
    const start = Math.round(startQuarters * DIVISIONS_PER_QUARTER);
    const length = Math.round(lengthQuarters * DIVISIONS_PER_QUARTER);
    return [{ chord: { ...chord, start, length, bar: number }, tones: ['third'], beats, isApart: true }];
  });
}

function lacksOf(context: RuleContext): readonly Lack[] {
  const { readings, chords, stage, limit } = context;
  return readings.coverage.flatMap((coverage) => {
    const chord = chords[coverage.chord];
    // With a seventh and no third the reading itself is in doubt.
    if (chord === undefined || chord.coverage < (TRIADS.includes(chord.quality) ? LEAST_COVERAGE : SURE_COVERAGE))
      return [];
    if (partsIn(coverage).size < FEWEST_PARTS) return [];
    const beats = chordBeats(chord, stage.timeline);
    const lacking = lackingTones(chord, coverage, new Set());
    const [root, , ...others] = chord.tones;
    // Without its root a chord is heard as another one, and where nothing sounds beside the root there is no chord to complete.
    const isOpen =
      lacking.length === 1 &&
      String(root) in coverage.covered &&
      others.some((tone) => String(tone) in coverage.covered);
    const tones = lacking.flatMap(({ tone, pitchClass }) =>
      tone === 'third' && isOpen && pitchClass !== pitchClassOf(chord.bass) ? [tone] : [],
    );
    // Over a pedal point the tone that is kept may be none of the chord's.
    if (tones.length > 0 && root !== undefined && pedalTones(context, chord.start / DIVISIONS_PER_QUARTER).has(root))
      return [];
    if (tones.length === 0) return struckLacks(context, chord);
    return beats < limit - 1e-6 ? [] : { chord, tones, beats };
  });
}

const classesOf = ({ sounding }: Slice): string =>
  [...new Set(sounding.map(({ note }) => note.midi % 12))].sort((a, b) => a - b).join(' ');

/** True where the piece stands on the tones of its last sound elsewhere too, for a bar in all: a drone, a folk tune that ends on its bare fifth. */
function endsAsItStands({ slices, stage }: RuleContext): boolean {
  const last = slices.at(-1);
  if (last === undefined) return false;
  const end = slices.findLastIndex((slice) => classesOf(slice) !== classesOf(last));
  const quarters = slices
    .slice(0, Math.max(0, end))
    .filter((slice) => classesOf(slice) === classesOf(last))
    .reduce((sum, { startQuarters, endQuarters }) => sum + endQuarters - startQuarters, 0);
  return quarters >= (stage.timeline.bars[last.barIndex]?.lengthQuarters ?? 0) - 1e-6;
}

/** The last sound of all: where it has root and fifth of the chord in force and not its third, the chord before it does not help. */
function lastLack(context: RuleContext): readonly Lack[] {
  const { chords, slices, stage, limit, parts } = context;
  const chord = chords.at(-1);
  const last = slices.at(-1);
  const bar = stage.timeline.bars.at(last?.barIndex ?? 0);
  if (chord === undefined || last === undefined || bar === undefined || !TRIADS.includes(chord.quality)) return [];
  // From where the sound is as it stays to the end.
  const end = slices.findLastIndex((slice) => classesOf(slice) !== classesOf(last));
  const from = slices[end + 1]?.startQuarters ?? last.startQuarters;
  const beats = (last.endQuarters - from) / pulseQuarters(bar.meter);
  const [root, third, fifth] = chord.tones;
  const sounding = new Set(last.sounding.map(({ note }) => note.midi % 12));
  const pitched = last.sounding.filter(({ partIndex }) => parts[partIndex]?.part.unpitched === false);
  const isOpen = [root, fifth].every((tone) => tone !== undefined && sounding.has(tone)) && sounding.size === 2;
  const players = new Set(pitched.map(({ partIndex }) => partIndex)).size;
  const within = chord.start / DIVISIONS_PER_QUARTER < from - 1e-6;
  if (third === undefined || !isOpen || players < FEWEST_PARTS || beats < limit - 1e-6 || !within) return [];
  const start = Math.round(from * DIVISIONS_PER_QUARTER);
  const length = Math.round((last.endQuarters - from) * DIVISIONS_PER_QUARTER);
  return [{ chord: { ...chord, start, length, bar: bar.number }, tones: ['third'], beats }];
}

/** True where nearly all chords of the piece but the last have their third: the last one is an exception to its own habit. */
function hasThirds({ readings, chords }: RuleContext): boolean {
  const whole = readings.coverage.flatMap((coverage) => {
    const chord = chords[coverage.chord];
    if (chord === undefined || chord === chords.at(-1) || partsIn(coverage).size < FEWEST_PARTS) return [];
    return [lackingTones(chord, coverage, new Set()).every(({ tone }) => tone !== 'third')];
  });
  return whole.length >= FEWEST_CHORDS && whole.filter(Boolean).length >= THIRDS_SHARE * whole.length;
}

export const incompleteChord = defineRule(
  {
    name: 'incomplete-chord',
    title: 'A chord without its third',
    looksAt:
      'Chords of at least three parts that have their root and fifth or seventh but no third, a bar that all strike and leave together by itself inside a longer chord, and the last sound unless the piece stands on the same bare fifth elsewhere. Chords are estimated from the notes; those that explain less than 85 % of the sound are left out, and so is music that is full of open fifths, jazz and film; of songs the last chord alone is judged, where nearly all others have their third. To check is a last chord, or the one that all strike and leave together at the end of a phrase, where nearly all others have their third; the rest is information.',
    why: 'The third says whether a chord is major or minor; the fifth may be missing.',
    limit: { standard: 2, unit: 'beats', meaning: 'shortest chord that is judged' },
    source: 'four-part writing as taught (common practice, no source): never leave out root or third',
    level: 'look',
  },
  (context) => {
    const { idiom } = context;
    const end = context.slices.at(-1)?.endQuarters ?? 0;
    const isLast = ({ chord }: Lack): boolean => (chord.start + chord.length) / DIVISIONS_PER_QUARTER >= end - 1e-6;
    const isFree = !idiom.strictHarmony;
    const areWhole = hasThirds(context);
    if (isFree && (OPEN_BY_NATURE.includes(idiom.kind) || !areWhole)) return [];
    const found = [...lacksOf(context), ...lastLack(context)].filter(
      (lack) => !isFree || (isLast(lack) && TRIADS.includes(lack.chord.quality)),
    );
    const lacks = found.filter((lack) => !isLast(lack) || !endsAsItStands(context));
    if (lacks.length > Math.max(FEW, HABIT_SHARE * context.chords.length)) return [];
    const isCertain = ({ chord }: Lack): boolean => TRIADS.includes(chord.quality) && chord.coverage >= SURE_COVERAGE;
    return gatheredRuns(
      lacks,
      ({ chord }) => chord.bar,
      1,
      ({ chord }) => lastBarOf(chord, context.stage.timeline),
    ).map((run) => {
      const { from, to, items } = run;
      const longest = items.reduce((most, lack) => (lack.beats > most.beats ? lack : most));
      const { chord, tones } = longest;
      // The end of a piece or a phrase whose other chords are whole is no choice of colour inside a progression.
      const isClose = items.some((lack) => isCertain(lack) && (isLast(lack) || lack.isApart === true));
      return {
        level: areWhole && isClose ? ('look' as const) : ('note' as const),
        from,
        to,
        partIds: [],
        message: `Nobody has the ${listText(tones)} of ${signedText(chord.symbol)} at ${placeText(context.stage.timeline, chord.start / DIVISIONS_PER_QUARTER)}${elsewhereText(run)} (chords are estimated).`,
        advice: 'Give it to an inner part, unless the empty sound is meant.',
        amount: items.reduce((sum, lack) => sum + lack.beats, 0),
      };
    });
  },
);
