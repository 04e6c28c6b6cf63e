/** Remarks of one file, counted: one a kind and track, and one a kind where many tracks share it; never thousands. */
import type { Problem } from '../../problems/problem.ts';

/** Kinds that stand in more tracks than this are said once for the file. */
const MOST_TRACKS_SINGLY = 4;

/** Sentence for a number of occurrences, beginning with a capital and ending with a full stop. */
type Sentence = (count: number) => string;

export interface Tally {
  /** Counts one more occurrence (or `amount`); `track` is the 1-based number of the chunk, undefined for the whole file. */
  readonly add: (code: string, track: number | undefined, sentence: Sentence, amount?: number) => void;
  /** The remarks, in the order in which their kinds were first met. */
  readonly problems: (file: string, trackNames: ReadonlyMap<number, string>) => readonly Problem[];
}

interface Counted {
  readonly sentence: Sentence;
  count: number;
}

function lowerFirst(text: string): string {
  return text.slice(0, 1).toLowerCase() + text.slice(1);
}

function grouped(code: string, file: string, byTrack: ReadonlyMap<number, Counted>): Problem {
  const [first] = byTrack;
  let count = 0;
  for (const counted of byTrack.values()) count += counted.count;
  const sentence = first === undefined ? '' : first[1].sentence(count);
  const where = `In ${byTrack.size} tracks, the first of them track ${first?.[0] ?? 0}`;
  return { kind: 'remark', code, file, message: `${where}: ${lowerFirst(sentence)}` };
}

/** An empty tally. */
export function makeTally(): Tally {
  const kinds = new Map<string, Map<number, Counted>>();
  return {
    add: (code, track, sentence, amount = 1) => {
      const byTrack = kinds.get(code) ?? new Map<number, Counted>();
      kinds.set(code, byTrack);
      const counted = byTrack.get(track ?? 0);
      if (counted === undefined) byTrack.set(track ?? 0, { sentence, count: amount });
      else counted.count += amount;
    },
    problems: (file, trackNames) => {
      const problems: Problem[] = [];
      for (const [code, byTrack] of kinds) {
        if (byTrack.size > MOST_TRACKS_SINGLY) {
          problems.push(grouped(code, file, byTrack));
          continue;
        }
        for (const [track, counted] of byTrack) {
          const name = trackNames.get(track) ?? '';
          problems.push({
            kind: 'remark',
            code,
            file,
            ...(track === 0 ? {} : { track }),
            ...(name === '' ? {} : { trackName: name }),
            message: counted.sentence(counted.count),
          });
        }
      }
      return problems;
    },
  };
}
