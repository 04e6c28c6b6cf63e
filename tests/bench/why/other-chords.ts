/** Which chord else could have stood: the search for chords asked again with every other chord taken away for as long as the found one lasts. */
import type { ChordQuestion } from '../../../src/notate/explain.ts';
import type { FrameReading, VisitFrame } from '../../../src/notate/chords/chord-search.ts';
import { chordPath } from '../../../src/notate/chords/chord-search.ts';
import { TEMPLATES } from '../../../src/notate/chords/chord-templates.ts';
import { chromaticPlace } from '../../../src/notate/keys/line-of-fifths.ts';
import { classAt, className } from '../../../src/model/music/pitch.ts';

export interface ChordOption {
  readonly symbol: string;
  /** By how much the whole reading is worse than the best one. */
  readonly lostBy: number;
}

export interface ChordOptions {
  /** Divisions from the start of bar 1. */
  readonly start: number;
  readonly end: number;
  /** The found one first. */
  readonly options: readonly ChordOption[];
}

const MOST_ASKED = 6;

function symbolOf(template: number): string {
  const { root, quality } = TEMPLATES[template] ?? { root: 0, quality: { suffix: '?' } };
  return className(classAt(chromaticPlace(root, 0))) + quality.suffix;
}

/** Best score over the keys of each template. */
function byTemplate(scores: Float64Array, count: number): number[] {
  return Array.from({ length: count }, (_, template) => {
    let best = -Infinity;
    for (let state = template; state < scores.length; state += count) best = Math.max(best, scores[state] ?? best);
    return best;
  });
}

/** What the search says of any place where a note begins; undefined in silence. A chord is asked about once. */
export function chordOptionsOf({ frames, pullOf, rules }: ChordQuestion): (start: number) => ChordOptions | undefined {
  const ask = (visit: VisitFrame): { readonly path: readonly FrameReading[]; readonly score: number } => {
    let score = -Infinity;
    const path = chordPath(frames, pullOf, rules, (frame, scores) => {
      visit(frame, scores);
      score = Math.max(...byTemplate(scores, rules.count));
    });
    return { path, score };
  };
  const soFar: (readonly number[])[] = [];
  const found = ask((frame, scores) => (soFar[frame] = byTemplate(scores, rules.count)));
  const known = new Map<number, ChordOptions>();

  function askAbout(chosen: number, first: number, last: number): ChordOptions {
    const options = (soFar[last] ?? [])
      .map((score, template) => ({ score, template }))
      .filter(({ template }) => template !== chosen)
      .sort((a, b) => b.score - a.score)
      .slice(0, MOST_ASKED)
      .map(({ template }): ChordOption => {
        const { score } = ask((frame, scores) => {
          if (frame < first || frame > last) return;
          for (let state = 0; state < scores.length; state++) {
            if (state % rules.count !== template) scores[state] = -Infinity;
          }
        });
        return { symbol: symbolOf(template), lostBy: found.score - score };
      });
    const { start: from = 0 } = frames[first] ?? {};
    const { start: lastStart = 0, length = 0 } = frames[last] ?? {};
    return {
      start: from,
      end: lastStart + length,
      options: [{ symbol: symbolOf(chosen), lostBy: 0 }, ...options.sort((a, b) => a.lostBy - b.lostBy)],
    };
  }

  return (start) => {
    const at = frames.findLastIndex((frame) => frame.start <= start);
    const chosen = found.path[at]?.template ?? -1;
    if (chosen < 0) return undefined;
    const isFound = (index: number): boolean => found.path[index]?.template === chosen;
    let first = at;
    let last = at;
    while (isFound(first - 1)) first--;
    while (isFound(last + 1)) last++;
    const options = known.get(first) ?? askAbout(chosen, first, last);
    known.set(first, options);
    return options;
  };
}
