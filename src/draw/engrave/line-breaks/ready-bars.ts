/** All bars of a score prepared in turn, each with what readers remember of the one before, and silent ones as one rest. */
import { groupedBy } from '../../../model/grouped.ts';
import type { ReducedScore } from '../../../model/music/written.ts';
import type { Remembered } from '../accidentals-beams-rests/accidentals.ts';
import { LONG_REST } from '../signs/bar-rests.ts';
import { cueBlocks } from '../signs/cues.ts';
import type { ReadyBar } from './justify-line.ts';
import { groupRests } from '../accidentals-beams-rests/long-rests.ts';
import type { OttavaMap } from '../accidentals-beams-rests/ottava.ts';
import { prepareBar } from '../bar-spacing/prepare-bar.ts';
import { syllableLanes } from '../signs/syllables.ts';
import { chordWords } from '../ink/words.ts';

/** The bars of a score, ready to be laid out. */
export function readyBars(score: ReducedScore, ottava: OttavaMap): readonly ReadyBar[] {
  let before: readonly Remembered[] = score.staves.map(() => new Map<string, number>());
  return groupRests(score).map((bars): ReadyBar => {
    const [bar] = bars;
    if (bar === undefined) throw new Error('A group of bars without a bar.');
    const chords = bar.chords.map(({ start, text }) => ({ start, words: chordWords(text) }));
    const cues = cueBlocks(bar);
    const words = syllableLanes(bar);
    // Names over one staff keep clear of each other, not of those over another.
    const named = groupedBy(cues, ({ staff }) => staff).values();
    const made = prepareBar(bar, score.staves.length, [chords, ...named, ...words], before, ottava);
    before = made.remembered;
    const prepared = bars.length > 1 ? { ...made.prepared, gaps: [LONG_REST] } : made.prepared;
    return { prepared, chords, cues, words: words.flat(), bars };
  });
}
