/** How quickly a part repeats a note, against what tongue, bow, key or finger is planned for. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import { topLineOf } from '../lines/top-line.ts';
import type { Part } from '../../model/music/arrangement.ts';
import type { AwkwardPlace } from './gather-awkward.ts';

/** So many strokes of one pitch in a row are a repetition. */
const FEWEST = 4;
/** A stroke that comes later than so many planned strokes is no longer of the run. */
const LONGEST_GAP = 1.5;
/** Quicker than this a bowed string plays an unmeasured tremolo, which is free. */
const TREMOLO = 12;

/**
 * Strokes a second that are planned for, from memory but for the tuba (9 to 10, common practice, no source): single tonguing 8, safe 7
 * for horn, trombone and low reeds; detached bowing 10, double bass 8; grand piano 13; a harp string 4.
 */
const USUAL: Readonly<Record<string, number>> = {
  'horn-f': 7,
  'trombone-tenor': 7,
  'trombone-bass': 7,
  bassoon: 7,
  contrabassoon: 7,
  'bass-clarinet': 7,
  tuba: 9,
  'double-bass': 8,
  piano: 13,
  harp: 4,
};
const USUAL_OF_FAMILY: Readonly<Record<string, number>> = { woodwind: 8, brass: 8, strings: 10 };

function rateOf(run: readonly PlacedNote[]): number {
  const [first, last] = [run[0], run.at(-1)];
  if (first === undefined || last === undefined) return 0;
  const seconds = last.played.startSecond - first.played.startSecond;
  return seconds <= 0 ? 0 : (run.length - 1) / seconds;
}

/** Strokes a second that are planned for on the part's instrument; undefined where nothing is known or pitch is no matter. */
function plannedRate(part: Part): number | undefined {
  return part.unpitched ? undefined : (USUAL[part.instrument] ?? USUAL_OF_FAMILY[part.family]);
}

/** Runs of four and more strokes on one pitch that are quicker than planned for, times `factor`; amounts are strokes a second. */
export function repeatedPlacesOf(placed: PlacedPart, factor = 1): readonly AwkwardPlace[] {
  const { part } = placed;
  const planned = plannedRate(part);
  if (planned === undefined) return [];
  const usual = planned * factor;
  const runs: PlacedNote[][] = [];
  for (const note of topLineOf(placed)) {
    const open = runs.at(-1);
    const before = open?.at(-1);
    const gap = note.played.startSecond - (before?.played.startSecond ?? 0);
    if (open !== undefined && before?.midi === note.midi && gap < LONGEST_GAP / usual) open.push(note);
    else runs.push([note]);
  }
  const isFree = (rate: number): boolean =>
    part.family === 'strings' && instrumentById(part.instrument)?.sustaining === true && rate > TREMOLO;
  return runs.flatMap((run): AwkwardPlace[] => {
    const rate = rateOf(run);
    if (run.length < FEWEST || rate <= usual + 1e-6 || isFree(rate)) return [];
    return [{ notes: run, amount: rate, usual }];
  });
}
