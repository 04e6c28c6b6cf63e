/** How swing is said: over the first bar of music whose even values are played long and short, and in sentences. */
import { barSpanText } from '../../model/words/plain-words.ts';
import type { ReducedScore, SwingSpan, WrittenNotes } from '../../model/music/written.ts';

function ratioText(ratio: number): string {
  return `${String(ratio)} : 1`;
}

function directionOf({ unit, ratio }: SwingSpan): string {
  return `Swing${unit === '16th' ? ' sixteenths' : ''} (${ratioText(ratio)})`;
}

/** What stands over a bar: the swing that begins there, or none where even values come back. */
export interface SwingDirection {
  readonly words: string;
  readonly span: SwingSpan | undefined;
}

/** Directions by the number of the bar over which they stand. */
export function swingDirections(swing: WrittenNotes['swing'] = []): ReadonlyMap<number, SwingDirection> {
  const found = new Map<number, SwingDirection>();
  for (const [index, span] of swing.entries()) {
    found.set(span.from, { words: directionOf(span), span });
    if (swing[index + 1]?.from !== span.to + 1) found.set(span.to + 1, { words: 'Even', span: undefined });
  }
  return found;
}

/** The score with `Swing` before its tempo mark, or alone, where the stage begins to swing; else the score as it is. */
export function withSwing(score: ReducedScore, swing: WrittenNotes['swing']): ReducedScore {
  if (swing === undefined || swing.length === 0) return score;
  const directions = swingDirections(swing);
  return {
    ...score,
    bars: score.bars.map((bar) => {
      const direction = directions.get(bar.number);
      if (direction === undefined) return bar;
      return {
        ...bar,
        tempoText: [direction.words, ...(bar.tempoText === undefined ? [] : [bar.tempoText])].join(' '),
      };
    }),
  };
}

/** What the dossier says of it. */
export function swingRemarks(swing: readonly SwingSpan[]): string[] {
  return swing.map(({ from, to, unit, ratio }) => {
    const values = unit === 'eighth' ? 'Eighths' : 'Sixteenths';
    return `${values} swing in ${barSpanText(from, to)}: they are played about ${ratioText(ratio)}, long and short, and written as even ${unit === 'eighth' ? 'eighths' : 'sixteenths'} under the word Swing. If a dotted or triplet rhythm is meant, name the section “Straight” in dossier.yaml or by a marker.`;
  });
}

/** The long and the short value as the smallest whole numbers that come close to the measured ratio. */
export function swingIntegers(ratio: number): readonly [long: number, short: number] {
  for (let short = 1; short <= 6; short++) {
    const long = Math.round(ratio * short);
    if (Math.abs(long / short - ratio) <= ratio / 48) return [long, short];
  }
  return [Math.round(ratio * 6), 6];
}
