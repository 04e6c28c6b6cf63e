import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import type { RangeLimits } from '../../../analyse/parts/ranges.ts';
import { rangeLimitsOf, rangeVerdict } from '../../../analyse/parts/ranges.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { foundNotes } from '../../found-notes.ts';
import { defineRule } from '../../rule.ts';
import { guessText, isGuessed, keyText, rounded, verb } from '../../words.ts';

/** A pause this long is a rest for lips, throat and hand. Our convention. */
const PAUSE_SECONDS = 4;
/** Twice the limit is more than information. Our convention. */
const LOOK_FACTOR = 2;

/** Whom a register tires; keys and strings on a frame do not. Choirs and nameless voices have no register to measure by. */
const TIRING: readonly string[] = ['woodwind', 'brass', 'voice', 'strings'];
const UNSPECIFIC: readonly string[] = ['voice', 'choir', 'string-ensemble'];

interface Stretch {
  readonly first: PlacedNote;
  last: PlacedNote;
  seconds: number;
  endSecond: number;
}

/** Stretches of notes on one side beyond the practical range; a note inside it or a pause of four seconds ends one. */
function stretchesOf(notes: readonly PlacedNote[], limits: RangeLimits, isHigh: boolean): readonly Stretch[] {
  const { practical } = limits;
  if (practical === undefined) return [];
  const stretches: Stretch[] = [];
  let open: Stretch | undefined;
  for (const note of notes) {
    const verdict = rangeVerdict(note.midi, limits);
    const beyond = isHigh ? note.midi > practical.high : note.midi < practical.low;
    const { startSecond, endSecond } = note.played;
    if (!beyond || (verdict !== 'edge' && verdict !== 'extension')) {
      open = undefined;
      continue;
    }
    if (open === undefined || startSecond - open.endSecond >= PAUSE_SECONDS) {
      open = { first: note, last: note, seconds: 0, endSecond: startSecond };
      stretches.push(open);
    }
    open.seconds += Math.max(0, endSecond - Math.max(startSecond, open.endSecond));
    open.endSecond = Math.max(open.endSecond, endSecond);
    open.last = note;
  }
  return stretches;
}

export const tessitura = defineRule(
  {
    name: 'tessitura',
    title: 'A part that lies high or low for long',
    looksAt:
      'Stretches that stay above (or below) the practical range of the instrument or voice without a note inside it and without a pause of 4 s.',
    why: 'A note at the edge is a matter of a moment; a whole passage there tires the player and takes softness, pitch and security with it.',
    limit: { standard: 12, unit: 'seconds', meaning: 'how long a part may stay beyond its practical range' },
    source:
      'practical ranges of the instrument catalogue, each with its source; the length: common practice, no source',
    level: 'look',
    yieldsTo: ['brass-endurance'],
  },
  ({ parts, stage: { timeline }, limit }) =>
    parts
      .filter(({ part }) => !part.unpitched && TIRING.includes(part.family) && !UNSPECIFIC.includes(part.instrument))
      .flatMap(({ part, notes }) => {
        const limits = rangeLimitsOf(part);
        return [true, false].flatMap((isHigh) =>
          stretchesOf(notes, limits, isHigh)
            .filter(({ seconds }) => seconds > limit)
            .map(({ first, last, seconds }) => {
              const from = barAndBeat(timeline.bars, first.startQuarters).bar;
              const to = barAndBeat(timeline.bars, last.startQuarters).bar;
              const border = isHigh ? (limits.practical?.high ?? 127) : (limits.practical?.low ?? 0);
              return {
                level: seconds > limit * LOOK_FACTOR && !isGuessed(part) ? ('look' as const) : ('note' as const),
                from,
                to,
                partIds: [part.id],
                message: `${part.name} ${verb([part], 'stays', 'stay')} ${isHigh ? 'above' : 'below'} ${keyText(border, part)}, the ${isHigh ? 'top' : 'bottom'} of the practical range, for ${rounded(seconds, 0)} s in ${barSpanText(from, to)}${guessText(part)}.`,
                advice: 'Ask the player; an octave, a rest inside or a part that takes turns makes it easier to bear.',
                source: limits.sources.join('; '),
                notes: foundNotes(part, notes.slice(notes.indexOf(first), notes.indexOf(last) + 1)),
                amount: seconds,
              };
            }),
        );
      }),
);
