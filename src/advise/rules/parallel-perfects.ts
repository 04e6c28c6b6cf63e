import { groupedBy } from '../../model/grouped.ts';
import type { Parallel } from '../../analyse/parallels.ts';
import type { PlacedPart } from '../../analyse/placed-notes.ts';
import { parallelsOf } from '../../analyse/parallels.ts';
import { gatheredRuns } from '../bar-runs.ts';
import { counted } from '../../model/plain-words.ts';
import type { RuleContext } from '../rule.ts';
import { defineRule } from '../rule.ts';
import { barListText, namesText, pitchText, placeText } from '../words.ts';

const CHOIRS = ['strings', 'woodwind', 'brass', 'voice'];

/** Across choirs a shared step is a doubling for a moment, the daily bread of a full orchestra. */
function areOneChoir({ part: one }: PlacedPart, { part: other }: PlacedPart): boolean {
  return one.family === other.family && CHOIRS.includes(one.family);
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
      'Two parts of one choir (strings, woodwind, brass, voices) that move together from one fifth to the next, among strings and voices also from one octave to the next. Doublings at the unison or octave, for a bar or for three notes in a row, are not counted.',
    why: 'Two parts in parallel perfect intervals melt into one: in a texture of real parts a voice is lost for that moment.',
    limit: {
      standard: 1,
      unit: 'places',
      meaning: 'how many places in one passage two parts may have before they are mentioned',
    },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration, ch. III (no consecutive octaves between upper parts; fifths from doubled sixth chords do not matter): information only',
    level: 'note',
  },
  (context) => {
    const { parts, readings, stage, limit } = context;
    const heard = parallelsOf(parts, readings.doublings, stage.timeline, areOneChoir).filter((parallel) => {
      const family = parts[parallel.parts[0]]?.part.family ?? 'unknown';
      return parallel.kind !== 'octaves' || OCTAVES_COUNT.includes(family);
    });
    const byPair = groupedBy(heard, (parallel) => parallel.parts.join('/'));
    const barOf = ({ barIndex }: Parallel): number => stage.timeline.bars[barIndex]?.number ?? 0;
    return [...byPair.values()].flatMap((ofPair) =>
      gatheredRuns(ofPair, barOf).flatMap(({ from, to, items }) => {
        const first = items[0];
        if (first === undefined || items.length <= limit) return [];
        const named = first.parts.flatMap((index) => parts[index]?.part ?? []);
        const kinds = [...new Set(items.map(({ kind }) => kind))].join(' and ');
        return {
          level: 'note' as const,
          from,
          to,
          partIds: named.map(({ id }) => id),
          message: `${namesText(named)} move in parallel ${kinds} in ${barListText(items.map(barOf))} (${counted(items.length, 'place')}): ${movementText(first, context)}.`,
          advice: 'Let one of the two go the other way, or make it an open doubling; many styles do not mind.',
          amount: items.length,
        };
      }),
    );
  },
);
