import { oneStringPlacesOf } from '../../../analyse/playability/fretted.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, instrumentText, pitchText, placeText, verb } from '../../words.ts';

/** The instrument was named, not guessed from a program. */
const SURE: readonly Part['recognisedBy'][] = ['settings', 'name', 'note'];

export const oneString = defineRule(
  {
    name: 'one-string',
    title: 'Notes that need one string at once',
    looksAt:
      'Chords of one guitar, bass guitar or mandolin in its usual tuning, and notes that one bowed player begins while another is held for half a beat or more: whether each can have a string of its own. It must be mended of a plucked instrument that was named, and is to be checked elsewhere.',
    why: 'A string sounds one note: what was easy on a keyboard loses a note there, and the player chooses which.',
    source:
      'one note a string: polyphony rules of the instrument catalogue; open strings: the catalogue; frets up to the 22nd: from memory',
    level: 'fix',
    yieldsTo: ['double-stop', 'too-many-notes'],
  },
  ({ parts, stage: { timeline } }) => {
    const barOf = (quarters: number): number => barAndBeat(timeline.bars, quarters).bar;
    return parts.flatMap((judged) => {
      const { part } = judged;
      const places = oneStringPlacesOf(judged);
      // Bowed notes are divided among players; of a plucked instrument that is surely known nobody has two notes on a string.
      const isImpossible = part.family === 'plucked' && SURE.includes(part.recognisedBy);
      return gatheredRuns(places, ({ notes }) => barOf(notes[0]?.startQuarters ?? 0)).flatMap((run) => {
        const [first] = run.items;
        const start = first?.notes.at(-1)?.startQuarters ?? 0;
        const pitches = [...(first?.notes ?? [])].sort((a, b) => a.midi - b.midi);
        const bars = barListText(run.items.map(({ notes }) => barOf(notes[0]?.startQuarters ?? 0)));
        return {
          level: isImpossible ? ('fix' as const) : ('look' as const),
          from: run.from,
          to: run.to,
          partIds: [part.id],
          message: `${part.name} ${verb([part], 'has', 'have')} ${counted(run.items.length, 'chord')} in ${bars} in which one ${instrumentText(part)} in the usual tuning needs a string twice: ${listText(pitches.map((note) => pitchText(note.written.pitch, part)))} at ${placeText(timeline, start)}${elsewhereText(run)}.`,
          advice:
            'Leave a note out, put one an octave higher, or break the chord; another tuning makes it another question.',
          amount: run.items.length,
        };
      });
    });
  },
);
