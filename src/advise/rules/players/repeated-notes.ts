import { repeatedPlacesOf } from '../../../analyse/playability/repeated-notes.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import { defineRule } from '../../rule.ts';
import { rounded, verb } from '../../words.ts';

/** So much quicker than planned for it is more than information. */
const LOOK_FACTOR = 1.25;
/** Flute, trumpet and cornet have always had a double tongue; with the brass of today it is everyday (Rimsky-Korsakov; the latter from memory). */
const DOUBLE_TONGUE: readonly string[] = ['flute', 'piccolo', 'alto-flute'];

/** How much quicker a double tongue is. From memory. */
const DOUBLE_TONGUE_FACTOR = 1.6;
/** So much quicker than a double tongue, and so many strokes of it, are more than information. Our convention. */
const BEYOND_DOUBLE_TONGUE = 1.1;
const MANY_STROKES = 16;

function isTongued({ family, instrument }: Part): boolean {
  return family === 'brass' || DOUBLE_TONGUE.includes(instrument);
}

export const repeatedNotes = defineRule(
  {
    name: 'repeated-notes',
    title: 'Repeated notes quicker than tongue, bow or finger',
    looksAt:
      'Runs of four and more strokes on one pitch against the strokes a second that are planned for: 8 for a single tongue (7 for horn, trombone and low reeds, 9 for tuba), 10 for a detached bow (8 for double bass), 13 for a grand piano, 4 for a harp string. With a double tongue, on flute and brass, six tenths more. Over 12 a second a bow plays a tremolo, which is free.',
    why: 'Faster than the tongue, the bow or the action of the keys, repeated notes run together or are left out.',
    limit: { standard: 100, unit: '% of the planned rate', meaning: 'how quick repeated notes may be' },
    source:
      'tuba: common practice, no source; double tonguing: N. Rimsky-Korsakov, Principles of Orchestration, ch. I; the other figures from memory',
    level: 'look',
  },
  (context) =>
    awkwardRuns('repeated-notes', context, (judged) =>
      repeatedPlacesOf(judged, (context.limit / 100) * (isTongued(judged.part) ? DOUBLE_TONGUE_FACTOR : 1)),
    ).map((run) => {
      const { part } = run.judged;
      const { amount, usual } = run.hardest;
      // With a double tongue, what is planned for is its rate.
      const tongued = isTongued(part);
      const isHard = tongued
        ? amount > usual * BEYOND_DOUBLE_TONGUE && run.notes.length >= MANY_STROKES
        : amount > usual * LOOK_FACTOR;
      return {
        level: isHard ? ('look' as const) : ('note' as const),
        from: run.from,
        to: run.to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'repeats', 'repeat')} notes quickly in ${run.bars}${run.count === 1 ? '' : ` (${counted(run.count, 'run')})`}: ${rounded(amount, 1)} a second on ${run.pitches.join(', ')} at ${run.place}; ${rounded(usual, 1)} are planned for.`,
        advice: tongued
          ? `This is quicker than a double tongue mostly goes: ask the player, write ${part.players > 1 ? 'it for two by turns' : 'fewer strokes'}, or a flutter tongue.`
          : 'Ask the player; every other note, two players by turns or an unmeasured tremolo may do.',
        notes: run.notes,
        amount: amount / usual,
      };
    }),
);
