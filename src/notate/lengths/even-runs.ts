/** Chords struck on every beat are written alike: a rhythm guitar plays quarters, not quarters and eighths as the hand happens to damp. */
import type { ScoreTime } from '../score-time/score-time.ts';
import { cellIndexAtDivision } from '../score-time/score-time.ts';

interface Valued {
  readonly onset: number;
  readonly end: number;
  /** How many notes it has. */
  readonly size: number;
}

/** As many beats in a row make a run, and this share of them as whole beats decides for all (ours, set on the folders of the tuning half). */
const FEWEST = 6;
const WHOLE_SHARE = 0.5;

/** Ends of notes by their place in the list, which is sorted by onset; those of a run are whole beats where most are. */
export function endsOfEvenRuns(notes: readonly Valued[], time: ScoreTime): number[] {
  const ends = notes.map(({ end }) => end);
  for (let from = 0; from < notes.length;) {
    let to = from + 1;
    for (; to < notes.length; to++) {
      const [before, here] = [notes[to - 1] as Valued, notes[to] as Valued];
      if (beatFrom(time, before.onset) !== here.onset || before.size < 2 || here.size !== before.size) break;
    }
    const run = notes.slice(from, to);
    const isWhole = ({ onset, end }: Valued): boolean => end === beatFrom(time, onset);
    if (run.length >= FEWEST && run.filter(isWhole).length >= WHOLE_SHARE * run.length) {
      // The last one ends as it was found: what follows it is no beat of the run.
      const last = run.at(-1)?.onset;
      run.forEach(({ onset, end }, at) => {
        const beat = beatFrom(time, onset);
        if (beat !== undefined && onset !== last && end < beat) ends[from + at] = beat;
      });
    }
    from = to;
  }
  return ends;
}

/** Where the beat ends that begins with an onset; undefined where none begins there. */
function beatFrom(time: ScoreTime, onset: number): number | undefined {
  const cell = time.cells[cellIndexAtDivision(time, onset)];
  return cell?.start === onset ? onset + cell.length : undefined;
}
