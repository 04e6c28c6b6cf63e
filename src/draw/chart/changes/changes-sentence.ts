/** What the strip of a step shows, in a sentence: what was done to some of the parts, and apart from it what concerns all of them. */
import {
  agreeing,
  barSpanText,
  barsText,
  counted,
  listText,
  numbersIn,
  sentenceStart,
} from '../../../model/words/plain-words.ts';
import type { PartEdit, StageChange } from '../../../model/readings/readings.ts';
import { shiftText } from './changes-cells.ts';
import { isGivenOn, newBars, renamedOnly, retracked, soundingBars, type StripStage } from './changes-rows.ts';
import { repeatText, withoutRepeated } from './repeated-runs.ts';

/** Most runs of bars that the sentence names. */
const MOST_RUNS = 6;

/** `throughout` where a stage has no other bar. */
function whereText(bars: readonly number[], { stage }: StripStage): string {
  const known = new Set(bars);
  if (stage.timeline.bars.every(({ number }) => known.has(number))) return 'throughout';
  return `in ${barsText(bars, MOST_RUNS)}`;
}

/** What concerns all parts together, each a clause. */
function togetherClauses(change: StageChange, after: StripStage): readonly string[] {
  const { barOrder, semitones, shifted, rebarred, meter, tempo } = change;
  const { cut, moved, repeats = [] } = barOrder;
  const fresh = withoutRepeated(newBars(change), barOrder);
  const isAre = (bars: readonly number[]): string => agreeing(bars.length, 'is', 'are');
  return [
    ...repeats.map(repeatText),
    ...(fresh.length === 0 ? [] : [`${barsText(fresh, MOST_RUNS)} ${isAre(fresh)} new`]),
    ...(cut.length === 0 ? [] : [`what was ${barsText(cut, MOST_RUNS)} is cut`]),
    ...moved.map(
      (run) =>
        `what was ${barSpanText(run.before, run.before + run.count - 1)} stands at ${barSpanText(run.after, run.after + run.count - 1)}`,
    ),
    ...(semitones === 0 ? [] : [`all that has pitch stands ${shiftText(semitones)}`]),
    ...shifted.map(
      (item) =>
        `${barSpanText(item.from, item.to)} ${agreeing(item.to - item.from + 1, 'stands', 'stand')} ${shiftText(item.semitones)}`,
    ),
    ...rebarred.map(
      (item) =>
        `what was ${barSpanText(item.fromBefore, item.toBefore)} is barred otherwise, as ${barSpanText(item.from, item.to)}`,
    ),
    ...(meter.length === 0 ? [] : [`the meter is another ${whereText(meter.flatMap(numbersIn), after)}`]),
    ...(tempo.length === 0 ? [] : [`the tempo is another ${whereText(tempo.flatMap(numbersIn), after)}`]),
  ];
}

/** Parts whose music came, was divided or was joined. */
function wholeParts({ parts }: StageChange): readonly string[] {
  return [...parts.added, ...parts.split.flatMap((item) => item.after), ...parts.joined.map((item) => item.after)];
}

/** Edits of the music; what was only played otherwise is none. */
function musicEdits({ edits }: StageChange): readonly PartEdit[] {
  return edits.filter(({ kind }) => kind !== 'timing');
}

/**
 * Bars of the later stage in which the music of some parts, and not of all together, is another; where parts were only divided or joined, and their
 * music is that of before, all of theirs.
 */
function ownBars(change: StageChange, after: StripStage): readonly number[] {
  const together = new Set(newBars(change));
  const barsOf = (ids: readonly string[]): readonly number[] =>
    ids.flatMap((id) => soundingBars(after, id).filter((bar) => !together.has(bar)));
  const others = [...musicEdits(change).flatMap(({ bars }) => bars), ...barsOf(change.parts.added)];
  return others.length > 0 ? others : barsOf(wholeParts(change));
}

/** The sentence over a strip; '' where nothing was done. */
export function describe(change: StageChange, before: StripStage, after: StripStage): string {
  const touched = new Set([...wholeParts(change), ...musicEdits(change).map(({ partId }) => partId)]);
  // Who has another name has it whatever else was done to the part; sentence, list and lead count alike.
  const renamed = renamedOnly(change, before, after);
  const tracked = retracked(change, before, after).filter((item) => !touched.has(item.after)).length;
  const givenOn = renamed.filter((item) => isGivenOn(item, before, after)).length;
  const retimed = change.edits.filter(({ kind, partId }) => kind === 'timing' && !touched.has(partId)).length;
  const gone = change.parts.removed.length;
  const together = togetherClauses(change, after);
  const own = ownBars(change, after);
  const parts = (count: number, verb: readonly [string, string], what: string): readonly string[] =>
    count === 0 ? [] : [`${counted(count, 'part')} ${agreeing(count, ...verb)} ${what}`];
  const some = [
    ...(touched.size === 0
      ? []
      : [
          `something was done to ${String(touched.size)} of ${counted(after.stage.parts.length, 'part')}${own.length === 0 ? '' : `, ${whereText(own, after)}`}`,
        ]),
    ...parts(givenOn, ['has', 'have'], 'another instrument'),
    ...parts(renamed.length - givenOn, ['has', 'have'], 'another name'),
    ...parts(tracked, ['is', 'are'], 'on other tracks'),
    ...parts(retimed, ['is', 'are'], 're-timed'),
    ...(gone === 0 ? [] : [`${counted(gone, 'part')} of before ${agreeing(gone, 'is', 'are')} gone`]),
  ];
  const first = some.length === 0 ? '' : sentenceStart(`${some.join('; ')}.`);
  if (together.length === 0) return first;
  return first === '' ? sentenceStart(`${listText(together)}.`) : `${first} For all parts, ${listText(together)}.`;
}
