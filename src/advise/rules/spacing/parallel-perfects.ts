import { groupedBy } from '../../../model/grouped.ts';
import type { Parallel } from '../../../analyse/harmony/parallels.ts';
import type { PlacedPart } from '../../../analyse/placed-notes/placed-notes.ts';
import { parallelsOf } from '../../../analyse/harmony/parallels.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns } from '../../bar-runs.ts';
import { barSpanText, counted } from '../../../model/words/plain-words.ts';
import { foundNotes } from '../../found-notes.ts';
import { outerOctavesOf } from '../../outer-parts/outer-octaves.ts';
import { outerParallelsOf } from '../../outer-parts/outer-parallels.ts';
import type { DraftFinding, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barListText, namesText, pitchText, placeText } from '../../words.ts';

const CHOIRS = ['strings', 'woodwind', 'brass', 'voice'];

/** Across choirs a shared step is a doubling for a moment, the daily bread of a full orchestra. */
function areOneChoir({ part: one }: PlacedPart, { part: other }: PlacedPart): boolean {
  return one.family === other.family && CHOIRS.includes(one.family);
}

function areOneOfChoirs({ part: one }: PlacedPart, { part: other }: PlacedPart): boolean {
  return CHOIRS.includes(one.family) && CHOIRS.includes(other.family);
}

/** In a fuller texture parts are doubled and filled up: nobody hears two of them apart. Our convention. */
const MOST_PARTS = 6;
/** With one player to a part the tune is still heard among so many, as in an octet: a place that is told elsewhere is there too. Our convention. */
const MOST_BESIDE_TUNE = 8;
/** Three octaves in one passage, one a bar or nearly, are a doubling that comes and goes. */
const DOUBLING_PLACES = 3;
/** More passages than this, or than one in so many bars, are how the music is made: organum, planing, mixtures. */
const HABIT_PASSAGES = 8;
const HABIT_BARS = 5;

/** Wider leaps of both parts, as from the root of one chord to that of the next, are not heard as a moving mixture; open fifths are up to a fourth. */
const WIDEST_STEP = 4;
const WIDEST_OF_OPEN = 5;
const OPEN_FIFTH = 7;

/** Two lines apart that go the same way by a third at most (in open fifths a fourth); a shared unison is a doubling for a moment. */
function isConspicuous({ from, to }: Parallel): boolean {
  const moved = Math.max(...([0, 1] as const).map((side) => Math.abs(to[side].midi - from[side].midi)));
  const isOpen = [from, to].every(([one, other]) => Math.abs(one.midi - other.midi) === OPEN_FIFTH);
  return moved <= (isOpen ? WIDEST_OF_OPEN : WIDEST_STEP) && from[0].midi !== from[1].midi;
}

function isOneVoice(part: PlacedPart['part'] | undefined): boolean {
  return part?.family === 'voice' && part.instrument !== 'choir';
}

/** Two voices of a choir that leap from one octave to the next are one voice less, however wide they leap. */
function isSungOctave({ kind, parts: indices, from }: Parallel, { parts, idiom }: RuleContext): boolean {
  return (
    kind === 'octaves' &&
    idiom.kind === 'choir' &&
    from[0].midi !== from[1].midi &&
    indices.every((index) => isOneVoice(parts[index]?.part))
  );
}

/** Winds share a step at the octave all the time; among strings and voices it costs a part. */
const OCTAVES_COUNT = ['strings', 'voice'];

function movementText({ from, to, parts: indices }: Parallel, { parts, stage }: RuleContext): string {
  const lines = ([0, 1] as const).map((side) => {
    const part = parts[indices[side]]?.part;
    if (part === undefined) return '';
    return `${part.name} ${pitchText(from[side].written.pitch, part)} to ${pitchText(to[side].written.pitch, part)}`;
  });
  return `${lines.join(', ')} at ${placeText(stage.timeline, to[0].startQuarters)}`;
}

export const parallelPerfects = defineRule(
  {
    name: 'parallel-perfects',
    title: 'Parallel fifths and octaves',
    looksAt:
      'Two parts of one choir (strings, woodwind, brass, voices; in chamber music of any two) in a texture of up to six parts (in chamber music of up to eight, where one of the two has the tune and the same place is told in a thinner one) that move together from one fifth to the next, among strings and voices also from one octave to the next; each place is told. Both move by a third at most, in open fifths by a fourth, in octaves of a choir however far. Doublings at the unison or octave, for a bar or for three notes near one another, are not counted but of tune and bass for up to four bars among others, nor music made of parallels, nor jazz, songs and film. In a texture of more parts tune and bass alone are looked at, where the tune lies on top, both strike both chords together and others fill them.',
    why: 'Two parts in parallel perfect intervals melt into one: in a texture of real parts a voice is lost for that moment.',
    limit: {
      standard: 0,
      unit: 'places',
      meaning: 'how many places in one passage two parts may have before they are mentioned',
    },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration, ch. III (no consecutive octaves between upper parts; fifths from doubled sixth chords do not matter): information only',
    level: 'note',
    followsFromPlace: true,
  },
  (context) => {
    const { parts, readings, stage, limit } = context;
    const { strictHarmony, framed } = context.idiom;
    if (!strictHarmony && !framed) return [];
    // One to a part, every two lines are real ones.
    const arePair = context.idiom.kind === 'chamber' ? areOneOfChoirs : areOneChoir;
    const all = !strictHarmony ? [] : parallelsOf(parts, readings.doublings, stage.timeline, arePair);
    const heard = all.filter((parallel) => {
      const families = parallel.parts.map((index) => parts[index]?.part.family ?? 'unknown');
      // An accompaniment touches the tune of a singer at the octave all the time.
      return parallel.kind !== 'octaves' || (OCTAVES_COUNT.includes(families[0] ?? '') && families[0] === families[1]);
    });
    const barOf = ({ barIndex }: Parallel): number => stage.timeline.bars[barIndex]?.number ?? 0;
    const isAmong = ({ barIndex }: Parallel, most: number): boolean =>
      Object.keys(readings.balance[barIndex]?.partsDb ?? {}).length <= most;
    const isOfTune = ({ barIndex, parts: indices }: Parallel): boolean =>
      indices.some((index) => context.front[barIndex]?.has(parts[index]?.part.id ?? '') === true);
    // The same notes of the same two parts, wherever they come again.
    const wayOf = ({ kind, parts: indices, from, to }: Parallel): string =>
      [kind, ...indices, ...from.map(({ midi }) => midi), ...to.map(({ midi }) => midi)].join('/');
    const conspicuous = heard.filter((parallel) => isConspicuous(parallel) || isSungOctave(parallel, context));
    const thin = conspicuous.filter((parallel) => isAmong(parallel, MOST_PARTS));
    const known = new Set(thin.map(wayOf));
    const again = conspicuous.filter(
      (parallel) =>
        context.idiom.kind === 'chamber' &&
        !isAmong(parallel, MOST_PARTS) &&
        isAmong(parallel, MOST_BESIDE_TUNE) &&
        isOfTune(parallel) &&
        known.has(wayOf(parallel)),
    );
    const full = !framed
      ? []
      : outerParallelsOf(context).filter((parallel) => !strictHarmony || !isAmong(parallel, MOST_PARTS));
    const isKnown = (outer: Parallel): boolean =>
      again.some(({ parts: two, to }) => outer.parts.every((index) => two.includes(index)) && to.includes(outer.to[0]));
    const byPair = groupedBy(
      [...thin, ...again, ...full.filter((outer) => !isKnown(outer))].sort((a, b) => a.barIndex - b.barIndex),
      (parallel) => parallel.parts.join('/'),
    );
    const passages = [...byPair.values()].flatMap((ofPair) =>
      barRuns(ofPair, barOf, 1).flatMap(({ from, to, items }): readonly BarRun<Parallel>[] => {
        const octaves = items.filter(({ kind }) => kind === 'octaves').length;
        const isDoubling = octaves >= DOUBLING_PLACES && octaves > to - from;
        const real = !isDoubling ? items : items.filter(({ kind }) => kind !== 'octaves');
        return real.length <= limit ? [] : barRuns(real, barOf, 1);
      }),
    );
    if (passages.length > Math.max(HABIT_PASSAGES, stage.timeline.bars.length / HABIT_BARS)) return [];
    const outer = (!strictHarmony ? [] : outerOctavesOf(context)).map(({ lead, bass, from, to }): DraftFinding => ({
      level: 'note',
      from,
      to,
      partIds: [lead.id, bass.id],
      message: `${namesText([lead, bass])} go in octaves in ${barSpanText(from, to)}, tune and bass, while the others have lines of their own.`,
      advice: 'Give the bass the ground of the chords, or let all join the octaves.',
      amount: to - from + 1,
    }));
    const told = passages.flatMap(({ from, to, items }) => {
      const [first] = items;
      if (first === undefined) return [];
      const named = first.parts.flatMap((index) => parts[index]?.part ?? []);
      const kinds = [...new Set(items.map(({ kind }) => kind))].join(' and ');
      return {
        level: 'note' as const,
        from,
        to,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} move in parallel ${kinds}${full.includes(first) ? ', tune and bass,' : ''} in ${barListText(items.map(barOf))} (${counted(items.length, 'place')}): ${movementText(first, context)}.`,
        advice: 'Let one of the two go the other way, or make it an open doubling; many styles do not mind.',
        notes: ([0, 1] as const).flatMap((side) =>
          foundNotes(parts[first.parts[side]]?.part, [first.from[side], first.to[side]]),
        ),
        amount: items.length,
      };
    });
    return [...told, ...outer];
  },
);
