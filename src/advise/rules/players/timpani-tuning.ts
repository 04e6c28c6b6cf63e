import {
  retuneSeconds,
  RETUNE_SECONDS,
  strokesOf,
  tuningPlacesOf,
} from '../../../analyse/playability/timpani-tuning.ts';
import { setFor, statedDrums } from '../../../analyse/playability/timpani-drums.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import { defineRule } from '../../rule.ts';
import { keyText, pitchText, rounded, verb } from '../../words.ts';

/** With less than this share of the time a change is more than information. */
const LOOK_SHARE = 0.5;

export const timpaniTuning = defineRule(
  {
    name: 'timpani-tuning',
    title: 'Timpani without time to retune',
    looksAt:
      'The pitches of timpani, shared out over four pedal drums (32, 29, 26 and 23 inches; a fifth of 20 where the part goes higher than A3, and instead of the largest where it never goes under B♭2) of one player (over a pair tuned by hand, 10 seconds a change, where the name states two pitches) so that as little as possible is retuned in haste: the time from the end of a drum’s last note to its next pitch, one drum after the other.',
    why: 'A drum has one pitch at a time: a change while it sounds is heard as a slide, and in haste there is no moment to listen whether it is right.',
    limit: { standard: RETUNE_SECONDS, unit: 'seconds', meaning: 'time that one change of a drum’s pitch should have' },
    source:
      'pair F2–C3 and B♭2–F3: N. Rimsky-Korsakov, Principles of Orchestration, ch. I; set of four or five and its sizes: J. J. Papastefan, Timpani Sizes and Ranges; compass of the outer drums: from memory; time for a change: common practice, no source',
    level: 'look',
  },
  (context) =>
    awkwardRuns('timpani-tuning', context, (judged) => tuningPlacesOf(judged, context.limit)).flatMap((run) => {
      const { part, notes } = run.judged;
      const [note] = run.hardest.notes;
      const set = setFor(
        notes.map(({ midi }) => midi),
        statedDrums(part.name),
      );
      const usual = retuneSeconds(run.judged, context.limit);
      const stroke = strokesOf(notes, usual, set).find((candidate) => candidate.note === note);
      if (note === undefined || stroke?.change === undefined) return [];
      const { drum, change } = stroke;
      const isPair = set.length === 2;
      const time = change.seconds < 0.05 ? 'with no time at all' : `within ${rounded(change.seconds, 1)} s`;
      return {
        level: change.seconds < usual * LOOK_SHARE ? ('look' as const) : ('note' as const),
        from: run.from,
        to: run.to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'has', 'have')} ${counted(run.count, 'hasty change')} of tuning in ${run.bars}: ${pitchText(note.written.pitch, part)} at ${run.place} wants the ${drum.inches}-inch drum moved from ${keyText(change.fromMidi, part)} ${time}; ${isPair ? 'the two drums that the name states, tuned by hand,' : `a set of ${set.length} pedal drums`} and one player are assumed.`,
        advice: 'Ask the timpanist; a rest, one pitch less, another octave or a second player may spare the change.',
        notes: run.notes,
        amount: run.count,
      };
    }),
);
