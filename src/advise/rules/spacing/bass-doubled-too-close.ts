import { groupedBy } from '../../../model/grouped.ts';
import type { Slice, SoundingNote } from '../../../analyse/placed-notes/slices.ts';
import { rangeLimitsOf } from '../../../analyse/parts/ranges.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns, splitWhere } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { anInterval } from '../../../model/music/interval-names.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { namesText, pitchText, placeText } from '../../words.ts';

/** Under C3 two basses stand in one another's way; a unison of basses idles under G3, the usual top of the double basses. */
const DEPTH_MIDI = 48;
const UNISON_MIDI = 55;
const OCTAVE = 12;
/** A bar in which the line goes up over the limit does not end a passage. */
const BRIDGED_BARS = 1;

type Kind = 'unison' | 'collision';

interface Close {
  readonly bar: number;
  /** The two parts, the same for both orders. */
  readonly pair: string;
  readonly beats: number;
  readonly kind: Kind;
  readonly low: SoundingNote;
  readonly high: SoundingNote;
  readonly quarters: number;
}

/** True where the part could play the same note an octave lower within its own range. */
function hasOctaveBelow({ part }: JudgedPart, midi: number): boolean {
  const { absolute } = rangeLimitsOf(part);
  return absolute !== undefined && midi - OCTAVE >= absolute.low;
}

/**
 * A keyboard that goes with another bass note for note supports it, and an organ’s pedal has stops of 16 feet of its own (common practice, no source):
 * that is its office, no idle unison.
 */
function isSupport({ part: one }: JudgedPart, { part: other }: JudgedPart): boolean {
  return one.family === 'keyboard' || other.family === 'keyboard';
}

/** Instruments of 16 feet: their unison with another bass wastes the octave below. Other unisons of basses are doublings of colour. */
const SIXTEEN_FEET: readonly string[] = ['double-bass', 'contrabassoon', 'tuba'];

/** What the two lowest parts of a moment are to each other; undefined where they leave each other room. */
function kindOf(low: SoundingNote, high: SoundingNote, slice: Slice, context: RuleContext): Kind | undefined {
  const { parts, front } = context;
  const [one, other] = [parts[low.partIndex], parts[high.partIndex]];
  if (one === undefined || other === undefined || high.note.midi >= UNISON_MIDI) return undefined;
  const ahead = [one, other].filter(({ part }) => front[slice.barIndex]?.has(part.id) ?? false);
  const distance = high.note.midi - low.note.midi;
  if (distance === 0) {
    const differ = one.part.instrument !== other.part.instrument && !isSupport(one, other);
    const deep = [one, other].filter(({ part }) => SIXTEEN_FEET.includes(part.instrument));
    return differ && deep.length === 1 && deep.every((judged) => hasOctaveBelow(judged, low.note.midi))
      ? 'unison'
      : undefined;
  }
  return ahead.length === 1 && distance < OCTAVE && high.note.midi < DEPTH_MIDI ? 'collision' : undefined;
}

/** Lowest sounding note of each part, the two lowest of them; drums are left out. */
function twoLowest({ sounding }: Slice, { parts }: RuleContext): readonly [SoundingNote, SoundingNote] | undefined {
  let low: SoundingNote | undefined;
  for (const item of sounding) {
    if (parts[item.partIndex]?.part.family === 'percussion') continue;
    if (low === undefined) low = item;
    else if (item.partIndex !== low.partIndex) return [low, item];
  }
  return undefined;
}

const pairKey = (low: SoundingNote, high: SoundingNote): string =>
  [low.partIndex, high.partIndex].sort((a, b) => a - b).join('/');

/** Bars by pair in which the two go in octaves: who takes the octave there has it in view, and a unison beside it is meant. */
function octaveBars(context: RuleContext): ReadonlyMap<string, readonly number[]> {
  const found = context.slices.flatMap((slice) => {
    const [low, high] = twoLowest(slice, context) ?? [];
    const bar = context.stage.timeline.bars[slice.barIndex]?.number;
    if (low === undefined || high === undefined || bar === undefined) return [];
    return high.note.midi - low.note.midi === OCTAVE ? [{ pair: pairKey(low, high), bar }] : [];
  });
  const byPair = groupedBy(found, ({ pair }) => pair);
  return new Map([...byPair].map(([pair, own]) => [pair, [...new Set(own.map(({ bar }) => bar))]]));
}

function closeBars(context: RuleContext, kind: Kind): readonly Close[] {
  const { slices, stage } = context;
  const byPairAndBar = new Map<string, Close>();
  for (const slice of slices) {
    const pair = twoLowest(slice, context);
    const bar = stage.timeline.bars[slice.barIndex];
    if (pair === undefined || bar === undefined || kindOf(...pair, slice, context) !== kind) continue;
    const [low, high] = pair;
    const key = `${pairKey(low, high)} ${slice.barIndex}`;
    const known = byPairAndBar.get(key);
    const beats = (slice.endQuarters - slice.startQuarters) / pulseQuarters(bar.meter) + (known?.beats ?? 0);
    byPairAndBar.set(key, {
      ...(known ?? { bar: bar.number, pair: pairKey(low, high), kind, low, high, quarters: slice.startQuarters }),
      beats,
    });
  }
  return [...byPairAndBar.values()];
}

const ADVICE: Readonly<Record<Kind, string>> = {
  unison: 'Let the lower instrument take the octave below, or rest.',
  collision: 'Let one of the two keep the bass, or double it at the unison or octave.',
};

export const bassDoubledTooClose = defineRule(
  {
    name: 'bass-doubled-too-close',
    title: 'Competing bass lines',
    looksAt:
      'The two lowest parts: an instrument of 16 feet (double bass, contrabassoon, tuba) in unison with another under G3 though it could go down an octave (a keyboard supports; a bar in which the two have the octave ends it), and a background bass under C3 less than an octave from the foreground’s own without doubling it.',
    why: 'The depth has room for one line: a second one is heard as an octave below, or as a blur.',
    limit: { standard: 8, unit: 'beats', meaning: 'how long it may last, a bar of pause allowed' },
    source: `N. Rimsky-Korsakov, Principles of Orchestration, ch. II (the double basses double the cellos an octave lower); otherwise ${COMMON_PRACTICE}`,
    level: 'note',
    yieldsTo: ['crowded-low'],
  },
  (context) => {
    const { parts, stage, limit, idiom } = context;
    // A left hand and a bass player share the line of a rhythm section.
    if (!idiom.strictHarmony) return [];
    const octaves = octaveBars(context);
    const barOf = ({ bar }: Close): number => bar;
    const inOctaves = ({ pair, bar }: Close): boolean => octaves.get(pair)?.includes(bar) ?? false;
    // No passage in unison goes on over a bar in octaves.
    const passage = ({ pair, bar }: Close): string =>
      String(octaves.get(pair)?.filter((other) => other < bar).length ?? 0);
    const runsOf = (kind: Kind): readonly BarRun<Close>[] => {
      const close = closeBars(context, kind);
      if (kind === 'collision') return barRuns(close, barOf, BRIDGED_BARS);
      const unisons = close.filter((item) => !inOctaves(item));
      return splitWhere(barRuns(unisons, barOf, BRIDGED_BARS), barOf, passage);
    };
    return (['unison', 'collision'] as const).flatMap((kind) =>
      runsOf(kind).flatMap(({ from, to, items }) => {
        const beats = items.reduce((sum, item) => sum + item.beats, 0);
        const longest = items.reduce((most, item) => (item.beats > most.beats ? item : most));
        if (beats <= limit) return [];
        const indices = [...new Set(items.flatMap(({ low, high }) => [high.partIndex, low.partIndex]))];
        const named = indices.flatMap((index) => parts[index]?.part ?? []);
        const lowest = parts[longest.low.partIndex]?.part;
        const pitch = lowest === undefined ? '' : pitchText(longest.low.note.written.pitch, lowest);
        const what =
          kind === 'unison'
            ? `share the bass in unison`
            : `have two basses ${anInterval(longest.high.note.midi - longest.low.note.midi)} apart and nearer than an octave`;
        return {
          level: 'note' as const,
          from,
          to,
          partIds: named.map(({ id }) => id),
          message: `${namesText(named)} ${what} in ${barSpanText(from, to)}: ${pitch} at ${placeText(stage.timeline, longest.quarters)}.`,
          advice: ADVICE[kind],
          notes: [longest.high, longest.low].flatMap(({ note, partIndex }) =>
            foundNotes(parts[partIndex]?.part, [note]),
          ),
          amount: beats,
        };
      }),
    );
  },
);
