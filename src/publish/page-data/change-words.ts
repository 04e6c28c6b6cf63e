/** What was done from one stage to the next, in sentences. */
import { editText, shiftText } from '../../draw/chart/changes-cells.ts';
import type { Stage } from '../../model/arrangement.ts';
import { agreeing, barSpanText, barsText, counted, listText, sentenceStart } from '../../model/plain-words.ts';
import type { BarRun, PartEdit, StageChange, TempoChange } from '../../model/readings.ts';
import { pulseQuarters, type Meter } from '../../model/timeline.ts';
import type { PublishedStage } from '../dossier-input.ts';
import { partNamer } from '../sentences.ts';

export interface Step {
  readonly change: StageChange;
  readonly before: PublishedStage;
  readonly after: PublishedStage;
}

/** Most clauses of the sentence that sums a step up; the list below it has all. */
const MOST_CLAUSES = 6;
/** Most groups of parts whose bars that sentence names. */
const MOST_NAMED = 2;

function soundingBars({ readings }: PublishedStage, partId: string): number[] {
  return readings.presence.flatMap((span) =>
    span.partId === partId ? Array.from({ length: span.to - span.from + 1 }, (_, index) => span.from + index) : [],
  );
}

function runText({ before, after, count }: BarRun): string {
  const from = barSpanText(before, before + count - 1);
  return `${from} ${agreeing(count, 'stands', 'stand')} at ${barSpanText(after, after + count - 1)} now`;
}

function meterText({ numerator, denominator }: Meter): string {
  return `${String(numerator)}/${String(denominator)}`;
}

/** In beats of the felt pulse where the meter has one that is not a quarter. */
function tempoSentence(tempo: TempoChange, stage: Stage): string {
  const bar = stage.timeline.bars.find(({ number }) => number === tempo.from);
  const pulse = bar === undefined ? 1 : pulseQuarters(bar.meter);
  const beats = (quarters: number): string => String(Math.round(quarters / pulse));
  const unit = pulse === 1.5 ? 'dotted quarter' : pulse === 1 ? 'quarter' : `${String(pulse)} quarters`;
  const way = tempo.after < tempo.before ? 'slower' : 'faster';
  const values =
    beats(tempo.after) === beats(tempo.before)
      ? `by ${Math.abs(100 * (tempo.after / tempo.before - 1)).toFixed(1)} %`
      : `${unit} = ${beats(tempo.after)} instead of ${beats(tempo.before)}, in the median bar`;
  return `The tempo in ${barSpanText(tempo.from, tempo.to)} is ${way}: ${values}.`;
}

/** Names of parts that came in the same bar are told together: `Flute and Bassoon from bar 9, Horn from bar 21`. */
function entriesText(step: Step, name: (partId: string) => string): string {
  const groups = new Map<number | undefined, string[]>();
  for (const partId of step.change.parts.added) {
    const [first] = soundingBars(step.after, partId).sort((a, b) => a - b);
    groups.set(first, [...(groups.get(first) ?? []), name(partId)]);
  }
  return listText(
    [...groups]
      .sort(([a = 0], [b = 0]) => a - b)
      .map(([first, names]) => `${listText(names)}${first === undefined ? '' : ` from bar ${String(first)}`}`),
  );
}

/** Parts to which the same was done in the same bars are told together. */
function editGroups(
  edits: readonly PartEdit[],
): readonly { readonly partIds: readonly string[]; readonly edit: PartEdit }[] {
  const groups = new Map<string, { partIds: string[]; edit: PartEdit }>();
  for (const edit of edits) {
    const key = `${editText(edit)} ${edit.bars.join(' ')}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { partIds: [edit.partId], edit });
    else group.partIds.push(edit.partId);
  }
  return [...groups.values()];
}

/** `rewrites Viola in bars 13–14`; where many parts are concerned their bars stand in the list below only. */
function rewritingClause(edits: readonly PartEdit[], name: (partId: string) => string): string {
  const verbs: Readonly<Record<PartEdit['kind'], readonly [string, string]>> = {
    rewritten: ['rewrites', ''],
    rhythm: ['changes the rhythm of', ''],
    transposed: ['moves', ' up or down'],
    extended: ['lets', ' play'],
    silenced: ['lets', ' rest'],
    balance: ['re-balances', ''],
    timing: ['re-times', ''],
  };
  const kind = edits[0]?.kind ?? 'rewritten';
  const [verb, tail] = verbs[kind];
  const groups = editGroups(edits);
  if (groups.length > MOST_NAMED)
    return `${verb} ${listText(edits.map(({ partId }) => name(partId)))}${tail} in ${kind === 'extended' ? 'more places' : 'places'}`;
  return `${verb} ${listText(
    groups.map(({ partIds, edit }) => {
      const how = kind === 'transposed' ? ` ${editText(edit)}` : tail;
      return `${listText(partIds.map(name))}${how} in ${barsText(edit.bars)}${kind === 'extended' ? ' too' : ''}`;
    }),
  )}`;
}

/** One sentence that sums the step up: what came, what went, what was rewritten. */
export function leadSentence(step: Step, number: number): string {
  const { change, before, after } = step;
  const name = partNamer(before.stage, after.stage);
  const { added, removed, renamed, split, joined } = change.parts;
  const order = change.barOrder;
  const rewriting = (['rewritten', 'rhythm', 'transposed', 'extended', 'silenced'] as const).flatMap((kind) => {
    const edits = change.edits.filter((edit) => edit.kind === kind);
    return edits.length === 0 ? [] : [rewritingClause(edits, name)];
  });
  const balanced = change.edits.filter(({ kind }) => kind === 'balance');
  const timed = change.edits.filter(({ kind }) => kind === 'timing');
  const names = (edits: readonly PartEdit[]): string => listText([...new Set(edits.map(({ partId }) => name(partId)))]);
  const clauses = [
    ...(added.length === 0 ? [] : [`adds ${entriesText(step, name)}`]),
    ...(removed.length === 0 ? [] : [`takes out ${listText(removed.map(name))}`]),
    ...(order.inserted.length === 0 ? [] : [`inserts ${barsText(order.inserted)}`]),
    ...(order.cut.length === 0 ? [] : [`cuts what was ${barsText(order.cut)}`]),
    ...order.moved.map(
      (run) => `moves ${barSpanText(run.before, run.before + run.count - 1)} to bar ${String(run.after)}`,
    ),
    ...(change.semitones === 0 ? [] : [`sets the whole piece ${shiftText(change.semitones)}`]),
    ...split.map((item) => `parts ${name(item.before)} into ${listText(item.after.map(name))}`),
    ...joined.map((item) => `joins ${listText(item.before.map(name))} in ${name(item.after)}`),
    ...rewriting,
    ...(balanced.length === 0 ? [] : [`re-balances ${names(balanced)}`]),
    ...(change.tempo.length === 0
      ? []
      : [`takes another tempo in ${listText(change.tempo.map((item) => barSpanText(item.from, item.to)))}`]),
    ...(change.meter.length === 0
      ? []
      : [`changes the meter in ${listText(change.meter.map((item) => barSpanText(item.from, item.to)))}`]),
    ...(renamed.length === 0 ? [] : [`renames ${counted(renamed.length, 'part')}`]),
  ];
  if (clauses.length === 0 && timed.length > 0) return `Stage ${String(number)} only re-times ${names(timed)}.`;
  if (clauses.length === 0) return `In stage ${String(number)} nothing in the music differs.`;
  const more = clauses.length - MOST_CLAUSES;
  const told = more > 1 ? [...clauses.slice(0, MOST_CLAUSES), `makes ${String(more)} more changes`] : clauses;
  const last = told.at(-1) ?? '';
  const joinedClauses = told.length === 1 ? last : `${told.slice(0, -1).join('; ')}; and ${last}`;
  return `Stage ${String(number)} ${joinedClauses}.`;
}

function orderSentences({ barOrder, semitones, meter, tempo }: StageChange, after: Stage): readonly string[] {
  const { inserted, cut, moved } = barOrder;
  return [
    ...(inserted.length === 0
      ? []
      : [
          `${sentenceStart(barsText(inserted))} ${agreeing(inserted.length, 'is', 'are')} new; what follows stands later.`,
        ]),
    ...(cut.length === 0
      ? []
      : [`${sentenceStart(barsText(cut))} of the earlier stage ${agreeing(cut.length, 'was', 'were')} cut.`]),
    ...moved.map((run) => `Moved: what was ${runText(run)}.`),
    ...(semitones === 0 ? [] : [`The whole piece sounds ${shiftText(semitones)}.`]),
    ...meter.map(
      (item) =>
        `The meter in ${barSpanText(item.from, item.to)} is ${meterText(item.after)} instead of ${meterText(item.before)}.`,
    ),
    ...tempo.map((item) => tempoSentence(item, after)),
  ];
}

function doneText(edit: PartEdit): string {
  const bars = barsText(edit.bars);
  if (edit.kind === 'extended') return `plays in ${bars} too`;
  if (edit.kind === 'silenced') return `rests in ${bars}`;
  return `${editText(edit)} in ${bars}`;
}

/** One sentence for each part, or for parts to which the same was done; what was only re-timed is told together at the end. */
function editSentences(edits: readonly PartEdit[], name: (partId: string) => string): readonly string[] {
  const done = new Map<string, string[]>();
  for (const edit of edits) {
    if (edit.kind !== 'timing') done.set(edit.partId, [...(done.get(edit.partId) ?? []), doneText(edit)]);
  }
  const groups = new Map<string, string[]>();
  for (const [partId, texts] of done) {
    const text = texts.join('; ');
    groups.set(text, [...(groups.get(text) ?? []), name(partId)]);
  }
  const timed = edits.filter(({ kind }) => kind === 'timing');
  const milliseconds = timed.map((edit) => Math.round(edit.milliseconds ?? 0));
  const [least, most] = [Math.min(...milliseconds), Math.max(...milliseconds)].map(String);
  const span = least === most ? (least ?? '') : `${least ?? ''} to ${most ?? ''}`;
  return [
    ...[...groups].map(([text, names]) => `${listText(names)}: ${text}.`),
    ...(timed.length === 0
      ? []
      : [
          `Played earlier or later by about ${span} ms, what is written unchanged by it: ${listText(timed.map(({ partId }) => name(partId)))}.`,
        ]),
  ];
}

function partSentences({ change, before, after }: Step): readonly string[] {
  const name = partNamer(before.stage, after.stage);
  const earlierName = partNamer(before.stage);
  const { added, removed, renamed, split, joined } = change.parts;
  return [
    ...added.map((partId) => {
      const bars = soundingBars(after, partId);
      return `${name(partId)} is new${bars.length === 0 ? '' : `: it plays in ${barsText(bars)}`}.`;
    }),
    ...removed.map((partId) => {
      const bars = soundingBars(before, partId);
      return `${earlierName(partId)} is gone${bars.length === 0 ? '' : `; it played in ${barsText(bars)}`}.`;
    }),
    ...split.map(
      (item) => `${earlierName(item.before)} was parted: its notes are ${listText(item.after.map(name))} now.`,
    ),
    ...joined.map((item) => `${listText(item.before.map(earlierName))} were joined in ${name(item.after)}.`),
    ...renamed.map((item) =>
      item.before === item.after
        ? `“${earlierName(item.before)}” is called “${name(item.after)}” now.`
        : `The part of ${earlierName(item.before)} is ${name(item.after)}’s now.`,
    ),
    ...editSentences(change.edits, name),
  ];
}

/** A sentence for everything that was done, what concerns the whole piece first. */
export function changeSentences(step: Step): readonly string[] {
  const { change, after } = step;
  const told = [...orderSentences(change, after.stage), ...partSentences(step)];
  if (told.length === 0) return ['Nothing in the music differs.'];
  if (change.bars.length === 0) return told;
  const total = counted(after.stage.timeline.bars.length, 'bar');
  return [...told, `In all, ${String(change.bars.length)} of ${total} differ: ${barsText(change.bars)}.`];
}
