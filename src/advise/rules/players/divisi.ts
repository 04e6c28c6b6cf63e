import { loudnessAt } from '../../../analyse/level/level-model.ts';
import { onsetsOf } from '../../../analyse/playability/strings.ts';
import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import type { JudgedPart } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, pitchText, placeText, rounded, verb } from '../../words.ts';

/** `f` and more, of six marks. */
const LOUD_DYNAMIC = 4 / 6;
/** Fewer players to a note than a desk are no section any more. */
const FEWEST_A_NOTE = 2;

interface DividedChord {
  readonly notes: readonly PlacedNote[];
  readonly loud: boolean;
  readonly playersEach: number;
}

/** Chords in so many parts or more that this section cannot divide into well: at a loud marking, or with too few players. */
function dividedChords({ part, notes, model }: JudgedPart, limit: number): readonly DividedChord[] {
  if (part.players < 3 || (part.family !== 'strings' && part.family !== 'voice')) return [];
  return onsetsOf(notes).flatMap((onset): DividedChord[] => {
    const distinct = [...new Map(onset.map((note) => [note.midi, note])).values()].sort((a, b) => a.midi - b.midi);
    const [first] = distinct;
    if (first === undefined || distinct.length < limit) return [];
    const track = model.tracks[first.played.trackIndex];
    const loud =
      track !== undefined &&
      loudnessAt(track, first.played.velocity, first.startQuarters + first.shiftQuarters).dynamic >= LOUD_DYNAMIC;
    const playersEach = part.players / distinct.length;
    return loud || playersEach < FEWEST_A_NOTE ? [{ notes: distinct, loud, playersEach }] : [];
  });
}

export const divisi = defineRule(
  {
    name: 'divisi',
    title: 'A section divided too far',
    looksAt:
      'Chords that one string or vocal section strikes together: in so many notes as the limit says, where the marking is f or more or fewer than two players are left for each note.',
    why: 'A section in four and more parts is soft: what was one broad sound becomes a few players a note.',
    limit: { standard: 4, unit: 'notes', meaning: 'in how many notes a section is divided too far' },
    source:
      'divided by desks, in three awkward, in four and more only softly, small sections not at all: N. Rimsky-Korsakov, Principles of Orchestration, ch. I',
    level: 'look',
    yieldsTo: ['too-many-notes'],
  },
  ({ parts, limit, stage: { timeline } }) => {
    const barOf = ({ notes }: DividedChord): number => barAndBeat(timeline.bars, notes[0]?.startQuarters ?? 0).bar;
    return parts.flatMap((judged) => {
      const { part } = judged;
      return gatheredRuns(dividedChords(judged, limit), barOf).flatMap((run) => {
        const fullest = [...run.items].sort((a, b) => b.notes.length - a.notes.length)[0];
        if (fullest === undefined) return [];
        const pitches = listText(fullest.notes.map((note) => pitchText(note.written.pitch, part)));
        const each = rounded(fullest.playersEach, 1);
        const few = fullest.playersEach < FEWEST_A_NOTE;
        return {
          level: few ? ('look' as const) : ('note' as const),
          from: run.from,
          to: run.to,
          partIds: [part.id],
          message: `${part.name} ${verb([part], 'divides', 'divide')} into ${counted(fullest.notes.length, 'note')} in ${barListText(run.items.map(barOf))}${fullest.loud ? ', loud' : ''}: ${pitches} at ${placeText(timeline, fullest.notes[0]?.startQuarters ?? 0)}, about ${each} of ${part.players} players for each${elsewhereText(run)}.`,
          advice: 'Share the chord among the sections, leave doubled notes out, or keep it soft.',
          amount: fullest.notes.length,
        };
      });
    });
  },
);
