import type { PedalChange } from '../../../analyse/playability/harp-pedals.ts';
import { PEDAL_SECONDS, pedalChangesOf, pedalPlacesOf } from '../../../analyse/playability/harp-pedals.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import { defineRule } from '../../rule.ts';
import { pitchText, rounded, verb } from '../../words.ts';

/** With less than this share of the time a change is more than information. */
const LOOK_SHARE = 0.5;

/** What the pedal has to do, and how long it has: `wants the pedal of C moved within 0.4 s`. */
function changeText({ step, seconds }: PedalChange): string {
  const time = seconds < 0.05 ? 'with no time at all' : `within ${rounded(seconds, 1)} s`;
  return `wants the pedal of ${step} moved ${time}`;
}

export const harpPedals = defineRule(
  {
    name: 'harp-pedals',
    title: 'Harp pedals without time to move',
    looksAt:
      'Changes of the seven pedals, one a letter, as the notes are spelled: the time since the letter was last needed and since the same foot (left D C B, right E F G A) was free. A foot moves one pedal after the other.',
    why: 'Every string of one letter hangs on one pedal: two forms of a letter cannot sound together, and a change in haste is heard.',
    limit: { standard: PEDAL_SECONDS, unit: 'seconds', meaning: 'time that one change of a pedal should have' },
    source:
      'one pedal a letter, three positions: N. Rimsky-Korsakov, Principles of Orchestration, ch. I; K. W. Gehrkens, 1914, Appendix B; feet and the time for a change: from memory',
    level: 'look',
  },
  (context) =>
    awkwardRuns('harp-pedals', context, (judged) => pedalPlacesOf(judged, context.limit)).flatMap((run) => {
      const { part } = run.judged;
      const [note] = run.hardest.notes;
      const change = pedalChangesOf(run.judged.notes).find((candidate) => candidate.note === note);
      if (note === undefined || change === undefined) return [];
      const spared = change.instead === undefined ? '' : ` As ${pitchText(change.instead, part)} it needs none.`;
      return {
        level: change.seconds < context.limit * LOOK_SHARE ? ('look' as const) : ('note' as const),
        from: run.from,
        to: run.to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'has', 'have')} ${counted(run.count, 'hasty change')} of a pedal in ${run.bars}: ${pitchText(note.written.pitch, part)} at ${run.place} ${changeText(change)}.${spared}`,
        advice: 'Ask the harpist; another spelling, a rest or another octave of the chord may spare the change.',
        notes: run.notes,
        amount: run.count,
      };
    }),
);
