/** A leader that is lower and softer in a passage than where it leads otherwise: a cause of its own, whoever plays beside it. */
import { GRADE } from '../../../analyse/level/marked-dynamics.ts';
import type { JudgedBar } from '../../../analyse/level/measured/judged-balance.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { median } from '../../../model/music/dynamics.ts';
import { anInterval } from '../../../model/music/interval-names.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import type { RuleContext } from '../../rule.ts';
import { verb } from '../../words.ts';

/**
 * It has come down by so much against the other bars it leads, of which there are so many at least: a fourth under the usual, no bar as low, and an
 * octave up it would be where the others are; two grades. Our conventions.
 */
const MUCH_LOWER = 5;
const OCTAVE = 12;
const MUCH_SOFTER = 2;
const FEWEST_BARS_ELSEWHERE = 4;

/** By how much the leader is lower and softer in some bars than in the others in which it leads, where that is much. */
export interface Fallen {
  readonly part: Part;
  /** Semitones. */
  readonly lower?: number;
  readonly gradesSofter?: number;
}

/** The leader of a passage against itself: where it sounds and how it is marked in all other bars that it leads. */
export function fallenOf(
  frontIds: readonly string[],
  bars: readonly JudgedBar[],
  context: RuleContext,
): Fallen | undefined {
  const { front, marks, partById, readings, stage } = context;
  const [id, ...others] = frontIds;
  const part = id === undefined ? undefined : partById.get(id)?.part;
  if (id === undefined || part === undefined || others.length > 0) return undefined;
  const first = stage.timeline.bars[0]?.number ?? 1;
  const here = new Set(bars.map(({ bar }) => bar));
  const own = readings.register.filter(({ bar, partId }) => partId === id && front[bar - first]?.has(id) === true);
  const elsewhere = own.filter(({ bar }) => !here.has(bar));
  if (elsewhere.length < FEWEST_BARS_ELSEWHERE) return undefined;
  const by = (some: typeof own, of: (reading: (typeof own)[number]) => number | undefined): number =>
    median(some.flatMap((reading) => of(reading) ?? [])) ?? Number.NaN;
  const inPlace = own.filter(({ bar }) => here.has(bar));
  const lower = Math.round(by(elsewhere, ({ centre }) => centre) - by(inPlace, ({ centre }) => centre));
  const isLowest = Math.min(...elsewhere.map(({ centre }) => centre)) > by(inPlace, ({ centre }) => centre);
  const highest = Math.max(...elsewhere.map(({ high }) => high));
  const isOctaveFree = inPlace.every(({ high }) => high + OCTAVE <= highest);
  const markOf = ({ bar }: { readonly bar: number }): number | undefined => marks[bar - first]?.get(id);
  const gradesSofter = Math.round((by(elsewhere, markOf) - by(inPlace, markOf)) / GRADE);
  return {
    part,
    ...(lower >= MUCH_LOWER && isLowest && isOctaveFree ? { lower } : {}),
    ...(gradesSofter >= MUCH_SOFTER ? { gradesSofter } : {}),
  };
}

/** `; Clarinet lies about a major sixth lower and is marked about 2 dynamic grades softer there than where it leads otherwise`; '' where neither is so. */
export function fallenText(fallen: Fallen | undefined): string {
  if (fallen === undefined) return '';
  const { part, lower, gradesSofter } = fallen;
  const told = [
    ...(lower === undefined ? [] : [`${verb([part], 'lies', 'lie')} about ${anInterval(lower)} lower`]),
    ...(gradesSofter === undefined
      ? []
      : [`${verb([part], 'is', 'are')} marked about ${counted(gradesSofter, 'dynamic grade')} softer`]),
  ];
  return told.length === 0 ? '' : `; ${part.name} ${listText(told)} there than where it leads otherwise`;
}
