/** What was done from one stage to the next, in sentences. */
import { groupedBy } from '../../../model/grouped.ts';
import {
  doubledText,
  editText,
  exchangedAt,
  exchangedLines,
  givenText,
  givenTogether,
  octavesText,
  shiftText,
} from '../../../draw/chart/changes/changes-cells.ts';
import {
  isGivenOn,
  renamedOnly,
  retracked,
  soundingBars,
  type Retracked,
  type StripStage,
} from '../../../draw/chart/changes/changes-rows.ts';
import { repeatText, withoutRepeated } from '../../../draw/chart/changes/repeated-runs.ts';
import type { Deed, Stage } from '../../../model/music/arrangement.ts';
import {
  agreeing,
  barSpanText,
  barsText,
  counted,
  fullStop,
  listText,
  numbersIn,
  runsOf,
  sentenceStart,
} from '../../../model/words/plain-words.ts';
import { agreeingWith } from '../../../model/words/part-grammar.ts';
import type {
  BarRun,
  ChordChange,
  PartEdit,
  Rebarring,
  StageChange,
  TempoChange,
} from '../../../model/readings/readings.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import type { PublishedStage } from '../../dossier-input.ts';
import { printedSymbol } from '../../../notate/chords/chords.ts';
import { meterText, partNamer } from '../../numbers-and-names.ts';
import { areOneTempo, freshTempos, unitText } from './fresh-tempo.ts';
import { renumberedClause, renumberedSentence } from './renumbered.ts';

export interface Step {
  readonly change: StageChange;
  readonly before: PublishedStage;
  readonly after: PublishedStage;
}

/** As much of a step as its sentences need. */
export interface ToldStep {
  readonly change: StageChange;
  readonly before: StripStage;
  readonly after: StripStage;
}

function runText({ before, after, count }: BarRun): string {
  const from = barSpanText(before, before + count - 1);
  return `${from} of the earlier stage ${agreeing(count, 'stands', 'stand')} at ${barSpanText(after, after + count - 1)} now`;
}

/** True where all bars of a stage that are numbered so have one tempo: nothing is a median then. */
function isOneTempo(stage: Stage, from: number, to: number): boolean {
  const own = stage.timeline.bars.filter(({ number }) => number >= from && number <= to);
  return own.every(({ tempo }) => Math.abs(tempo - (own[0]?.tempo ?? tempo)) < 0.5);
}

/** A tempo that moves by less from first to last is no ritardando. */
const LEAST_RAMP = 0.1;
/** So many tempos one after another, each slower than the one before, are heard as one slowing. */
const FEWEST_STEPS = 3;

/** First and last tempo, in quarters a minute, of bars through which it falls, or rises, step by step; undefined where it does not. */
function rampIn({ timeline }: Stage, from: number, to: number): readonly [first: number, last: number] | undefined {
  const own = timeline.bars.filter(({ number }) => number >= from && number <= to);
  const [start = 0, last] = [own[0]?.startQuarters, own.at(-1)];
  const end = last === undefined ? start : last.startQuarters + last.lengthQuarters;
  const inside = timeline.tempo.filter(({ startQuarters: at }) => at >= start - 1e-6 && at < end - 1e-6);
  const tempos = inside.map(({ secondsPerQuarter }) => 60 / secondsPerQuarter);
  const [one = 0, two = 0] = [tempos[0], tempos.at(-1)];
  if (tempos.length < FEWEST_STEPS || Math.abs(two / one - 1) < LEAST_RAMP) return undefined;
  const way = Math.sign(two - one);
  return tempos.every((tempo, index) => index === 0 || way * (tempo - (tempos[index - 1] ?? tempo)) >= 0)
    ? [one, two]
    : undefined;
}

/** `is slower throughout`, or `slows down in bars 21–22`, and by how much; in beats of the felt pulse where the meter has one that is not a quarter. */
function tempoWords(
  tempo: TempoChange,
  before: Stage,
  stage: Stage,
  fresh: readonly number[],
): { readonly way: string; readonly values: string } {
  const bar = stage.timeline.bars.find(({ number }) => number === tempo.from);
  const pulse = bar === undefined ? 1 : pulseQuarters(bar.meter);
  const beats = (quarters: number): string => String(Math.round(quarters / pulse));
  const wasEven = isOneTempo(before, -Infinity, Infinity);
  const unit = unitText(pulse);
  const where = isWhole(tempo, stage, fresh) ? 'throughout' : `in ${barSpanText(tempo.from, tempo.to)}`;
  const ramp = wasEven ? rampIn(stage, tempo.from, tempo.to) : undefined;
  if (ramp !== undefined) {
    const [first, last] = ramp;
    return {
      way: `${last < first ? 'slows down' : 'speeds up'} ${where}`,
      values: `${unit} = ${beats(first)} to ${beats(last)} instead of ${beats(tempo.before)}`,
    };
  }
  const isEven = wasEven && isOneTempo(stage, tempo.from, tempo.to);
  const values =
    beats(tempo.after) === beats(tempo.before)
      ? `by ${Math.abs(100 * (tempo.after / tempo.before - 1)).toFixed(1)}\u00a0%`
      : `${unit} = ${beats(tempo.after)} instead of ${beats(tempo.before)}${isEven ? '' : ', in the median bar'}`;
  return { way: `is ${tempo.after < tempo.before ? 'slower' : 'faster'} ${where}`, values };
}

/** True where a stage has no bar outside a span but new ones in its tempo. */
function isWhole({ from, to, after }: TempoChange, { timeline }: Stage, fresh: readonly number[]): boolean {
  return timeline.bars.every(
    ({ number, tempo }) => (number >= from && number <= to) || (fresh.includes(number) && areOneTempo(tempo, after)),
  );
}

function freshBars({ barOrder }: StageChange): readonly number[] {
  return [...barOrder.inserted, ...barOrder.appended];
}

function tempoSentence(tempo: TempoChange, before: Stage, stage: Stage, fresh: readonly number[]): string {
  const { way, values } = tempoWords(tempo, before, stage, fresh);
  return `The tempo ${way}: ${values}.`;
}

/** `is slower throughout: quarter = 88 instead of 96`, `slows down in bars 7–8: quarter = 96 to 60 instead of 96`; briefly without figures. */
export function tempoClause(tempo: TempoChange, { change, before, after }: Step, isBrief: boolean): string {
  const { way, values } = tempoWords(tempo, before.stage, after.stage, freshBars(change));
  return `${way}${isBrief ? '' : `: ${values}`}`;
}

/** `Bars 9–24 are in 2/4: they were bars 9–16 in 4/4, the same music.` */
function rebarredSentence({ from, to, fromBefore, toBefore, before, after }: Rebarring): string {
  const now = `${sentenceStart(barSpanText(from, to))} ${from === to ? 'is' : 'are'} in ${meterText(after)}`;
  const then = `${fromBefore === toBefore ? 'it was' : 'they were'} ${barSpanText(fromBefore, toBefore)} in ${meterText(before)}`;
  return `${now}: ${then}, the same music.`;
}

/** A sentence and what it is about, so that a note on the same can stand beside it. */
export interface ToldChange {
  readonly text: string;
  /** Empty where the whole piece is meant. */
  readonly partIds: readonly string[];
  /** Of the later stage; empty where the sentence is about no bars of it. */
  readonly bars: readonly number[];
  /** True of a sentence that only sums the others up. */
  readonly isSum?: boolean;
  /** True where one part alone is louder or softer, or plays other notes or elsewhere: a note that names bars means rather bars or lines. */
  readonly isAlone?: boolean;
  /** What was done, where notes have a word for it. */
  readonly deed?: Deed;
  /** Bars of the earlier stage that are gone. */
  readonly barsBefore?: readonly number[];
}

function aboutPiece(text: string, bars: readonly number[] = [], deed?: Deed): ToldChange {
  return { text, partIds: [], bars, ...(deed === undefined ? {} : { deed }) };
}

function orderSentences(change: StageChange, before: Stage, after: Stage): readonly ToldChange[] {
  const { barOrder, semitones, shifted, meter, rebarred, tempo } = change;
  const { cut, moved, repeats = [] } = barOrder;
  const inserted = withoutRepeated(barOrder.inserted, barOrder);
  const appended = withoutRepeated(barOrder.appended, barOrder);
  const numbers = renumberedSentence(change);
  return [
    ...repeats.map((run) =>
      aboutPiece(
        `${sentenceStart(repeatText(run))}.`,
        numbersIn({ from: run.before, to: run.after + run.count - 1 }),
        'fresh',
      ),
    ),
    ...(inserted.length === 0
      ? []
      : [
          aboutPiece(
            `${sentenceStart(barsText(inserted))} ${inserted.length === 1 ? 'is' : 'are'} new.`,
            inserted,
            'fresh',
          ),
        ]),
    ...(appended.length === 0
      ? []
      : [
          aboutPiece(
            `${sentenceStart(barsText(appended))} ${appended.length === 1 ? 'was' : 'were'} added at the end.`,
            appended,
            'fresh',
          ),
        ]),
    ...freshTempos(change, after).map(({ text, bars }) => aboutPiece(`In the new bars the tempo is ${text}.`, bars)),
    ...(cut.length === 0
      ? []
      : [
          {
            ...aboutPiece(
              `${sentenceStart(barsText(cut))} of the earlier stage ${cut.length === 1 ? 'was' : 'were'} cut.`,
              [],
              'cut',
            ),
            barsBefore: cut,
          },
        ]),
    ...moved.map((run) =>
      aboutPiece(`Moved: ${runText(run)}.`, numbersIn({ from: run.after, to: run.after + run.count - 1 })),
    ),
    ...(semitones === 0
      ? []
      : [aboutPiece(`The whole piece sounds ${shiftText(semitones)}.`, [], semitones < 0 ? 'lower' : 'higher')]),
    ...shifted.map((item) =>
      aboutPiece(
        `All that has pitch in ${barSpanText(item.from, item.to)} sounds ${shiftText(item.semitones)}.`,
        numbersIn(item),
        item.semitones < 0 ? 'lower' : 'higher',
      ),
    ),
    ...rebarred.map((item) => aboutPiece(rebarredSentence(item), numbersIn(item))),
    // The sentence that sums a step up has it too, where it is one run of bars.
    ...(numbers === undefined
      ? []
      : [{ ...aboutPiece(numbers), isSum: renumberedClause(change, before) !== undefined }]),
    ...meter.map((item) =>
      aboutPiece(
        `The meter in ${barSpanText(item.from, item.to)} is ${meterText(item.after)} instead of ${meterText(item.before)}.`,
        numbersIn(item),
      ),
    ),
    ...tempo.map((item) =>
      aboutPiece(
        tempoSentence(item, before, after, freshBars(change)),
        numbersIn(item),
        item.after < item.before ? 'slower' : 'faster',
      ),
    ),
  ];
}

/** `moved from bar 9 to bar 10`, `moved from bars 13–15 to bars 14–16`, `moved a beat later in bars 33–34`. */
export function movedText({ bars, moved = 'a bar later', isInPart = false }: PartEdit): string {
  const [run, another] = runsOf(bars);
  if (run === undefined || another !== undefined || !moved.startsWith('a bar') || run.from === run.to)
    return `${isInPart ? 'some notes ' : ''}moved ${moved} in ${barsText(bars)}`;
  const [low, high] = [barSpanText(run.from, run.to - 1), barSpanText(run.from + 1, run.to)];
  return moved === 'a bar later' ? `moved from ${low} to ${high}` : `moved from ${high} to ${low}`;
}

function doneText(edit: PartEdit): string {
  const bars = barsText(edit.bars);
  if (edit.kind === 'extended') return `plays in ${bars} too`;
  if (edit.kind === 'silenced') return `rests in ${bars}`;
  if (edit.kind === 'moved')
    return `${movedText(edit)}, ${edit.isInPart === true ? 'the others as before' : 'the same music'}`;
  if (edit.kind === 'muted') return `is silent in ${bars}, though written as before (a controller at or near zero)`;
  if (edit.kind === 'unmuted') return `is heard again in ${bars}`;
  return `${editText(edit)} in ${bars}`;
}

/** One sentence for each part, or for parts to which the same was done; what was only re-timed is told at the end. */
function editSentences(
  edits: readonly PartEdit[],
  name: (partId: string) => string,
  isThroughout: (edit: PartEdit) => boolean,
): readonly ToldChange[] {
  const done = new Map<string, { texts: string[]; bars: number[] }>();
  for (const edit of edits) {
    if (edit.kind === 'timing' || edit.toldWith !== undefined) continue;
    const known = done.get(edit.partId) ?? { texts: [], bars: [] };
    known.texts.push(doneText(edit));
    known.bars.push(...edit.bars);
    done.set(edit.partId, known);
  }
  const groups = new Map<string, { partIds: string[]; bars: readonly number[] }>();
  for (const [partId, { texts, bars }] of done) {
    const text = texts.join('; ');
    const group = groups.get(text) ?? { partIds: [], bars };
    group.partIds.push(partId);
    groups.set(text, group);
  }
  // A quantised part stands alone in its sentence.
  const timed = groupedBy(
    edits.filter(({ kind }) => kind === 'timing'),
    (edit) => `${editText(edit)} ${edit.timing?.how === 'quantised' ? edit.partId : ''}`,
  );
  return [
    ...[...groups].map(([text, { partIds, bars }]) => ({
      text: `${listText(partIds.map(name))}: ${text}.`,
      partIds,
      bars,
      isAlone: true,
    })),
    ...[...timed.values()].flatMap((alike): ToldChange[] => {
      const [first] = alike;
      if (first === undefined) return [];
      const partIds = alike.map(({ partId }) => partId);
      const bars = [...new Set(alike.flatMap((edit) => edit.bars))].sort((a, b) => a - b);
      const isPart = first.timing?.how === 'quantised' && !isThroughout(first);
      const where = isPart ? `, in ${barsText(bars)}` : '';
      return [{ text: `${listText(partIds.map(name))}: ${editText(first)}${where}.`, partIds, bars }];
    }),
  ];
}

/** What two parts have to do with one another now, and lines that begin later. */
function lineSentences(
  { given, doublings, entries }: StageChange,
  name: (partId: string) => string,
  earlierName: (partId: string) => string,
): readonly ToldChange[] {
  return [
    ...exchangedLines(given).map((exchange) => {
      const [one, other] = exchange;
      return {
        text: `${listText([one.to, other.to].map(name))} exchange their lines in ${barsText(one.bars)}${exchangedAt(exchange, name)}.`,
        partIds: [one.to, other.to],
        bars: one.bars,
      };
    }),
    ...givenTogether(given).map((group) => {
      const [item] = group;
      const from = group.map((each) => each.from);
      return {
        text: `${name(item.to)} ${agreeingWith([name(item.to)], 'has', 'have')} ${givenText(item, listText(from.map(earlierName)))} in ${barsText(item.bars)} now${octavesText(item).replace(/^ /, ', ')}.`,
        partIds: [...from, item.to],
        bars: item.bars,
      };
    }),
    ...doublings.map((item) => ({
      text: `${name(item.partId)} ${agreeingWith([name(item.partId)], 'doubles', 'double')} ${doubledText(item, name)} in ${barsText(item.bars)}.`,
      partIds: [item.partId, item.doubles],
      bars: item.bars,
    })),
    ...entries.map(({ partId, before, after }) => ({
      text: `${name(partId)} ${agreeingWith([name(partId)], 'enters', 'enter')} in bar ${String(after)} instead of bar ${String(before)}.`,
      partIds: [partId],
      bars: numbersIn({ from: before, to: after }),
    })),
  ];
}

/** Longest run of bars whose chords are named. */
const MOST_NAMED_CHORDS = 8;

/** `Bm | G`: bars between bars. */
function chordsText(chords: readonly string[]): string {
  return chords.map(printedSymbol).join(' | ');
}

/** `Em | A instead of Bm | G`; undefined where there are too many to be named. */
export function otherChordsText({ before, after }: ChordChange): string | undefined {
  return after.length > MOST_NAMED_CHORDS ? undefined : `${chordsText(after)} instead of ${chordsText(before)}`;
}

/** Which chords are there instead of which, and who has other notes for that. */
function chordSentences({ chords, edits }: StageChange, name: (partId: string) => string): readonly ToldChange[] {
  return chords.map((item): ToldChange => {
    const own = edits.flatMap(({ partId, bars, toldWith }) => {
      const inRun = toldWith === 'chords' ? bars.filter((bar) => item.bars.includes(bar)) : [];
      return inRun.length === 0 ? [] : [{ partId, bars: inRun }];
    });
    const groups = [...groupedBy(own, ({ bars }) => bars.join(' ')).values()];
    const whole = groups.filter(([first]) => first?.bars.length === item.bars.length);
    const rest = groups.filter((group) => !whole.includes(group));
    const namesOf = (group: readonly { readonly partId: string }[]): string =>
      listText(group.map(({ partId }) => name(partId)));
    const only = rest.map((group) => `${namesOf(group)} in ${barsText(group[0]?.bars ?? [])} only`);
    const who = [...whole.map(namesOf), ...only].join(', ');
    const which = otherChordsText(item);
    const one =
      [...item.before, ...item.after].length === 2 &&
      ![...item.before, ...item.after].some((text) => text.includes(' '));
    return {
      text: fullStop(
        `The ${one ? 'chord' : 'chords'} in ${barsText(item.bars)} ${one ? 'is' : 'are'} ${which ?? 'others'} (estimated); other notes${item.isSameRhythm ? ' in the same rhythm' : ''} for ${who}`,
      ),
      partIds: own.map(({ partId }) => partId),
      bars: item.bars,
    };
  });
}

/** What those who have the line of a divided part too, in unison with the first of them, have of their own. */
export function ownOfDivided({ parts, edits }: StageChange): readonly PartEdit[] {
  const others = new Set(parts.split.flatMap((item) => item.after.slice(1)));
  return edits.filter(
    ({ partId, kind, toldWith }) =>
      others.has(partId) && toldWith === undefined && ['rewritten', 'rhythm', 'extended'].includes(kind),
  );
}

/** Parts with notes of their own that were set apart from the first one and play in some of its bars only. */
function joiningLater({ after: ids }: Split, { change, after }: ToldStep): readonly string[] {
  const [first = ''] = ids;
  const whole = soundingBars(after, first);
  const apart = new Set(ownOfDivided(change).map(({ partId }) => partId));
  return ids.filter((id) => {
    const own = soundingBars(after, id);
    return apart.has(id) && own.length < whole.length && own.every((bar) => whole.includes(bar));
  });
}

type Split = StageChange['parts']['split'][number];

/** `Sopran was divided: its notes are with Sopran 1 and Sopran 2 now.`; who has them only in some bars joins there. */
function dividedText(
  item: Split,
  step: ToldStep,
  earlierName: (partId: string) => string,
  name: (partId: string) => string,
): string {
  const whole = earlierName(item.before);
  const later = joiningLater(item, step);
  const lead = `${whole} ${agreeingWith([whole], 'was divided: its', 'were divided: their')} notes are with`;
  const all = listText(item.after.filter((id) => !later.includes(id)).map(name));
  if (later.length === 0) return `${lead} ${all} now.`;
  const joining = later.map(
    (id) => `${name(id)} ${agreeingWith([name(id)], 'joins', 'join')} in ${barsText(soundingBars(step.after, id))}`,
  );
  return `${lead} ${all}, and ${listText(joining)}.`;
}

/** Two hands that were recorded apart, or put on one track, in a sentence. */
function retrackedText(
  { before, after, tracks: [was, is] }: Retracked,
  earlierName: (partId: string) => string,
  name: (partId: string) => string,
): string {
  const quoted = (names: readonly string[]): string => listText(names.map((one) => `“${one}”`));
  return is.length > 1
    ? `${earlierName(before)} ${agreeingWith([earlierName(before)], 'was', 'were')} divided between the tracks ${quoted(is)}, which are one part here, “${name(after)}”.`
    : `The tracks ${quoted(was)} were joined in “${name(after)}”.`;
}

/** True where an edit is in all bars of its part that are no new ones. */
export function isThroughout({ partId, bars }: PartEdit, { change, after }: ToldStep): boolean {
  const known = new Set([...bars, ...freshBars(change)]);
  return soundingBars(after, partId).every((bar) => known.has(bar));
}

function partSentences(step: ToldStep): readonly ToldChange[] {
  const { change, before, after } = step;
  const name = partNamer(before.stage, after.stage);
  const earlierName = partNamer(before.stage);
  const { added, removed, split, joined } = change.parts;
  const renamed = renamedOnly(change, before, after);
  const own = ownOfDivided(change);
  return [
    ...added.map((partId) => {
      const bars = soundingBars(after, partId);
      const own = [name(partId)];
      const where = bars.length === 0 ? '' : `: ${agreeingWith(own, 'it plays', 'they play')} in ${barsText(bars)}`;
      return { text: `${name(partId)} ${agreeingWith(own, 'is', 'are')} new${where}.`, partIds: [partId], bars };
    }),
    ...removed.map((partId) => {
      const bars = soundingBars(before, partId);
      const own = [earlierName(partId)];
      const where = bars.length === 0 ? '' : `; ${agreeingWith(own, 'it', 'they')} played in ${barsText(bars)}`;
      return {
        text: `${earlierName(partId)} ${agreeingWith(own, 'is', 'are')} gone${where}.`,
        partIds: [partId],
        bars: [],
      };
    }),
    ...split.map((item) => ({
      text: dividedText(item, step, earlierName, name),
      partIds: [item.before, ...item.after],
      bars: [],
      deed: 'split' as const,
    })),
    ...own.map((edit) => ({
      text: `${name(edit.partId)} ${agreeingWith([name(edit.partId)], 'has', 'have')} notes of ${agreeingWith([name(edit.partId)], 'its', 'their')} own in ${barsText(edit.bars)}.`,
      partIds: [edit.partId],
      bars: edit.bars,
    })),
    ...joined.map((item) => ({
      text: `${listText(item.before.map(earlierName))} were joined in ${name(item.after)}.`,
      partIds: [...item.before, item.after],
      bars: [],
      deed: 'joined' as const,
    })),
    ...retracked(change, before, after).map((item) => ({
      text: retrackedText(item, earlierName, name),
      partIds: [item.before, item.after],
      bars: [],
      deed: item.tracks[1].length > 1 ? ('split' as const) : ('joined' as const),
    })),
    ...renamed.map((item) => ({
      text: isGivenOn(item, before, after)
        ? `The part of ${earlierName(item.before)} is ${name(item.after)}’s now.`
        : `“${earlierName(item.before)}” is called “${name(item.after)}” now.`,
      partIds: [item.before, item.after],
      bars: [],
      deed: 'named' as const,
    })),
    ...lineSentences(change, name, earlierName),
    ...chordSentences(change, name),
    ...editSentences(
      change.edits.filter((edit) => !own.includes(edit)),
      name,
      (edit) => isThroughout(edit, step),
    ),
  ];
}

/** A sentence for everything that was done, what concerns the whole piece first. */
export function changeSentences(step: ToldStep): readonly ToldChange[] {
  const { change, before, after } = step;
  const told = [...orderSentences(change, before.stage, after.stage), ...partSentences(step)];
  const sum = (text: string): ToldChange => ({ ...aboutPiece(text), isSum: true });
  if (told.length === 0) return [sum('Nothing in the music differs.')];
  if (change.bars.length === 0) return told;
  const total = counted(after.stage.timeline.bars.length, 'bar');
  const where = `${String(change.bars.length)} of ${total} differ: ${barsText(change.bars)}.`;
  return [...told, sum(change.semitones === 0 ? `In all, ${where}` : `Besides the new pitch, ${where}`)];
}
