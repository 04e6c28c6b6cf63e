import type { Leap } from '../../../analyse/playability/leaps.ts';
import { leapsOf } from '../../../analyse/playability/leaps.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, performerOf, pitchText, placeText, verb } from '../../words.ts';

/** Slower than this there is time to find the note. */
const QUICK_SECONDS = 0.5;
/** So much wider than the limit it is more than information. */
const LOOK_SEMITONES = 8;

/** Reeds and flutes change their register by a key or a turn of the air; lips fall more easily than they rise. Semitones, from memory. */
const WOODWIND_MORE = 3;
const DOWNWARD_MORE = 5;

function freedomOf({ family }: Part, semitones: number): number {
  if (family === 'woodwind') return WOODWIND_MORE;
  return semitones < 0 ? DOWNWARD_MORE : 0;
}

export const wideLeap = defineRule(
  {
    name: 'wide-leap',
    title: 'A wide leap without time for it',
    looksAt:
      'Leaps of wind, brass and vocal lines that follow at once, within half a second of the note before; not from or to a note that the instrument has not, which is told as that.',
    why: 'A wide leap needs a new embouchure or register; quick and without a break it is a risk, most of all upward and soft.',
    limit: {
      standard: 16,
      unit: 'semitones',
      meaning:
        'widest quick leap of voices and brass that is not mentioned (a major tenth); downward a fourth more, of woodwind a third more',
    },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration, ch. I (sudden leaps of the clarinet are to be avoided, flute, oboe and bassoon are easier); brass and voices: from memory',
    level: 'look',
  },
  ({ parts, stage: { timeline }, limit, readings }) =>
    parts.flatMap((judged) => {
      const { part } = judged;
      // A note that the instrument has not is one fault, told as that, and not a leap besides.
      const outside = new Set(
        readings.ranges.find(({ partId }) => partId === part.id)?.outside.map(({ midi }) => midi) ?? [],
      );
      const wide = leapsOf(judged).filter(
        ({ from, to, semitones, seconds }) =>
          Math.abs(semitones) > limit + freedomOf(part, semitones) &&
          seconds < QUICK_SECONDS &&
          !outside.has(from.midi) &&
          !outside.has(to.midi),
      );
      const barOf = (leap: Leap): number => barAndBeat(timeline.bars, leap.from.startQuarters).bar;
      return gatheredRuns(wide, barOf).flatMap((run) => {
        const { from, to, items } = run;
        const widest = items.reduce((most, leap) =>
          Math.abs(leap.semitones) > Math.abs(most.semitones) ? leap : most,
        );
        const size = Math.abs(widest.semitones);
        const [one, other] = [widest.from, widest.to].map((note) => pitchText(note.written.pitch, part));
        return {
          level: size > limit + LOOK_SEMITONES ? ('look' as const) : ('note' as const),
          from,
          to,
          partIds: [part.id],
          message: `${part.name} ${verb([part], 'has', 'have')} ${items.length === 1 ? 'a quick wide leap' : `${items.length} quick wide leaps, the widest of them ${counted(size, 'semitone')}`} in ${barListText(items.map(barOf))}: ${one ?? ''} to ${other ?? ''} at ${placeText(timeline, widest.from.startQuarters)}${elsewhereText(run)}.`,
          advice: `Ask the ${performerOf(part)}; a rest before the leap, an octave less or ${part.family === 'voice' ? 'another voice' : 'a second instrument'} makes it safe.`,
          notes: foundNotes(part, [widest.from, widest.to]),
          amount: size - limit,
        };
      });
    }),
);
