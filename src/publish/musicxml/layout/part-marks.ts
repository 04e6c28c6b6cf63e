/** Dynamics and words of a part by bar. */
import type { DynamicMark } from '../../../model/music/written.ts';
import type { PartMark } from './score-layout.ts';

/** A hairpin is a wedge that begins and one that stops; a stop comes before what begins at its place. */
export function dynamicSigns(mark: DynamicMark, isSung: boolean): PartMark[] {
  const { start, staff } = mark;
  // Under the staff stand the words.
  const place = isSung ? 'above' : 'below';
  if (mark.kind === 'level') return [{ start, staff, place, sign: { kind: 'level', level: mark.level } }];
  return [
    { start, staff, place, sign: { kind: 'wedge', type: mark.direction } },
    { start: mark.end, staff, place, sign: { kind: 'wedge', type: 'stop' } },
  ];
}

function rank({ sign }: PartMark): number {
  if (sign.kind === 'wedge' || sign.kind === 'octave') return sign.type === 'stop' ? 0 : 2;
  return sign.kind === 'level' ? 1 : 3;
}

/**
 * Marks in the bars in which they stand, by the starts of the bars; what ends with the piece stands in the last one, and an octave sign in the bar
 * that it ends with: after the bar line readers take it for a sign over the next note too.
 */
export function marksByBar(marks: readonly PartMark[], barStarts: readonly number[]): PartMark[][] {
  const bars = barStarts.map((): PartMark[] => []);
  const sorted = [...marks].sort((a, b) => a.start - b.start || rank(a) - rank(b));
  let bar = 0;
  for (const mark of sorted) {
    while (bar + 1 < barStarts.length && (barStarts[bar + 1] ?? Infinity) <= mark.start) bar++;
    const endsBefore = mark.sign.kind === 'octave' && mark.sign.type === 'stop' && mark.start === barStarts[bar];
    bars[endsBefore ? Math.max(0, bar - 1) : bar]?.push(mark);
  }
  return bars;
}
