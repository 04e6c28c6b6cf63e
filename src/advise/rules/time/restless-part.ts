import { topLineOf } from '../../../analyse/lines/top-line.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import { barIndexAt } from '../../../model/music/timeline.ts';
import { barRuns } from '../../bar-runs.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { rounded, verb } from '../../words.ts';

const JAZZ: readonly EnsembleKind[] = ['combo', 'big-band'];
const FAMILIES = ['woodwind', 'brass', 'voice'];
/** Bars with fewer leaps say nothing. */
const FEWEST_INTERVALS = 3;
/** A figure of two bars is a gesture. */
const FEWEST_BARS = 3;
/** Where a bar of a woodwind comes back to its tones within an octave so often, they are those of a broken chord: two lines or three in one, each of which stands. */
const FIGURE_RETURNS = 2;
const FIGURE_SEMITONES = 12;

function isBrokenChord(pitches: readonly number[]): boolean {
  const isClose = Math.max(...pitches) - Math.min(...pitches) <= FIGURE_SEMITONES;
  return isClose && pitches.length >= FIGURE_RETURNS * new Set(pitches).size;
}

interface Busy {
  readonly bar: number;
  readonly mean: number;
}

/** Steps of the lowest part of most of a bar are those of a bass: roots and fifths, octaves. */
function isBass(index: number, bar: number, { slices }: RuleContext): boolean {
  let whole = 0;
  let lowest = 0;
  for (const { barIndex, startQuarters, endQuarters, sounding } of slices) {
    if (barIndex !== bar || !sounding.some(({ partIndex }) => partIndex === index)) continue;
    whole += endQuarters - startQuarters;
    if (sounding[0]?.partIndex === index) lowest += endQuarters - startQuarters;
  }
  return lowest > whole / 2;
}

/** Mean interval from note to note in the bars where the part is in the background. */
function busyBars(judged: JudgedPart, index: number, context: RuleContext): readonly Busy[] {
  const { stage, front, limit } = context;
  const { bars } = stage.timeline;
  const sizes = bars.map((): number[] => []);
  const pitches = bars.map((): number[] => []);
  const line = topLineOf(judged);
  line.forEach((note, index) => {
    const before = line[index - 1];
    const barIndex = barIndexAt(bars, note.startQuarters);
    pitches[barIndex]?.push(note.midi);
    if (before === undefined || note.startQuarters - before.endQuarters > 1) return;
    sizes[barIndex]?.push(Math.abs(note.midi - before.midi));
  });
  return bars.flatMap((bar, barIndex) => {
    const inBar = sizes[barIndex] ?? [];
    if (inBar.length < FEWEST_INTERVALS || (front[barIndex]?.has(judged.part.id) ?? false)) return [];
    if (judged.part.family === 'woodwind' && isBrokenChord(pitches[barIndex] ?? [])) return [];
    const mean = inBar.reduce((sum, size) => sum + size, 0) / inBar.length;
    return mean > limit && !isBass(index, barIndex, context) ? [{ bar: bar.number, mean }] : [];
  });
}

export const restlessPart = defineRule(
  {
    name: 'restless-part',
    title: 'A wind part that jumps about',
    looksAt:
      'The mean interval from note to note of wind, brass and vocal background parts, in runs of three bars or more. Basses, broken chords of woodwind within an octave, and jazz are left out.',
    why: 'A part that leaps all the time has no line: it was often filled in chord by chord and is hard to play and to blend.',
    limit: { standard: 7, unit: 'semitones', meaning: 'mean interval of a bar that is not mentioned (a fifth)' },
    source: COMMON_PRACTICE,
    level: 'note',
    yieldsTo: ['wide-leap'],
  },
  (context) =>
    // In jazz a line leaps through its chords.
    (JAZZ.includes(context.idiom.kind) ? [] : context.parts).flatMap((judged) =>
      barRuns(busyBars(judged, context.parts.indexOf(judged), context), ({ bar }) => bar).flatMap(
        ({ from, to, items }) => {
          if (items.length < FEWEST_BARS || !FAMILIES.includes(judged.part.family)) return [];
          const mean = items.reduce((sum, { mean: size }) => sum + size, 0) / items.length;
          const { part } = judged;
          return {
            level: 'note' as const,
            from,
            to,
            partIds: [part.id],
            message: `${part.name} ${verb([part], 'jumps', 'jump')} from note to note in ${barSpanText(from, to)}, ${rounded(mean, 1)} semitones on average.`,
            advice:
              'Exchange notes with a neighbour so that each part has a line, or leave the figure to strings or keys.',
            amount: mean - context.limit,
          };
        },
      ),
    ),
);
