/** One sentence that sums a step up. */
import { groupedBy } from '../../../model/grouped.ts';
import {
  amountsText,
  doubledText,
  editText,
  exchangedAt,
  exchangedLines,
  givenText,
  givenTogether,
  octavesText,
  shiftText,
} from '../../../draw/chart/changes/changes-cells.ts';
import { isGivenOn, renamedOnly, retracked, soundingBars } from '../../../draw/chart/changes/changes-rows.ts';
import { repeatClause, withoutRepeated } from '../../../draw/chart/changes/repeated-runs.ts';
import type { Stage } from '../../../model/music/arrangement.ts';
import {
  agreeing,
  barSpanText,
  barsText,
  counted,
  listText,
  runsOf,
  spanText,
  fullStop,
} from '../../../model/words/plain-words.ts';
import type { NotesWay, PartEdit } from '../../../model/readings/readings.ts';
import { meterText, partNamer } from '../../numbers-and-names.ts';
import {
  changeSentences,
  isThroughout,
  movedText,
  otherChordsText,
  ownOfDivided,
  tempoClause,
  type Step,
} from './change-words.ts';
import { freshTempos } from './fresh-tempo.ts';
import { renumberedClause } from './renumbered.ts';

/** Most clauses of the sentence that sums a step up; the list below it has all. */
const MOST_CLAUSES = 6;
/** Most of them on a first screen. */
const MOST_ON_FIRST_SCREEN = 3;
/** Longest run of bars whose chords that sentence names. */
const MOST_CHORDS = 4;
/** Most groups of parts whose bars that sentence names. */
const MOST_NAMED = 2;

/** `from bar 9`, where the part plays to the end; `in bars 1–8`, `between bars 5 and 30` with many rests. */
function entryText(bars: readonly number[], stage: Stage): string {
  const runs = runsOf(bars);
  const from = runs[0]?.from;
  const to = runs.at(-1)?.to;
  if (from === undefined || to === undefined) return '';
  if (to === stage.timeline.bars.at(-1)?.number) return ` from bar ${String(from)}`;
  return runs.length > MOST_NAMED ? ` between bars ${String(from)} and ${String(to)}` : ` in ${barsText(bars)}`;
}

/** Names of parts that came in the same bars are told together: `Flute and Bassoon from bar 9, Horn in bars 21–24`. */
function entriesText(step: Step, name: (partId: string) => string): string {
  const sounding = step.change.parts.added
    .map((partId) => ({ partId, bars: soundingBars(step.after, partId) }))
    .sort((a, b) => Math.min(...a.bars, Number.MAX_SAFE_INTEGER) - Math.min(...b.bars, Number.MAX_SAFE_INTEGER));
  const groups = groupedBy(sounding, ({ bars }) => entryText(bars, step.after.stage));
  return listText([...groups].map(([where, alike]) => `${listText(alike.map(({ partId }) => name(partId)))}${where}`));
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

const WAY_VERBS: Readonly<Record<NotesWay, readonly [string, string]>> = {
  filled: ['adds notes to', ''],
  filledShorter: ['adds notes between those of', ''],
  thinned: ['thins out', ''],
  thinnedLonger: ['thins out', ', with longer notes,'],
  repeated: ['lets', ' repeat its notes'],
  tremolo: ['lets', ' play tremolo'],
  sustained: ['lets', ' hold its notes instead of repeating them'],
  revoiced: ['revoices', ''],
};

/** `rewrites Viola in bars 13–14`; where many parts are concerned their bars stand in the list below only. */
function rewritingClause(edits: readonly PartEdit[], name: (partId: string) => string): string {
  const verbs: Readonly<Record<PartEdit['kind'], readonly [string, string]>> = {
    rewritten: ['rewrites', ''],
    rhythm: ['changes the rhythm of', ''],
    transposed: ['moves', ' up or down'],
    moved: ['moves', ' earlier or later'],
    extended: ['lets', ' play'],
    silenced: ['lets', ' rest'],
    muted: ['mutes', ''],
    unmuted: ['lets', ' be heard again'],
    balance: ['makes', ' louder or softer'],
    timing: ['re-times', ''],
  };
  const kind = edits[0]?.kind ?? 'rewritten';
  const held = edits.every((edit) => edit.held === edits[0]?.held) ? edits[0]?.held : undefined;
  const way = edits[0]?.how;
  const [verb, tail] =
    way !== undefined
      ? WAY_VERBS[way]
      : held === undefined
        ? verbs[kind]
        : (['holds the notes of', ` ${held}`] as const);
  const groups = editGroups(edits);
  if (groups.length > MOST_NAMED)
    return `${verb} ${listText(edits.map(({ partId }) => name(partId)))}${tail} in ${kind === 'extended' ? 'more places' : 'places'}`;
  return `${verb} ${listText(
    groups.map(({ partIds, edit }) => {
      if (kind === 'moved')
        return `${edit.isInPart === true ? 'some notes of ' : ''}${listText(partIds.map(name))} ${movedText(edit).replace(/^(some notes )?moved /, '')}`;
      const how = kind === 'transposed' ? ` ${editText(edit)}` : tail;
      return `${listText(partIds.map(name))}${how} in ${barsText(edit.bars)}${kind === 'extended' ? ' too' : ''}`;
    }),
  )}`;
}

/** A part that is louder or softer in so much of its bars is so throughout: the list has the bars. */
const THROUGHOUT = 0.9;

/** `makes Viola about 4.1 dB softer and Oboe about 2.0 dB louder in bars 9–12`; the list below says that it is an estimate. Briefly without figures. */
function balanceClauses(
  edits: readonly PartEdit[],
  { after }: Step,
  name: (partId: string) => string,
  isBrief: boolean,
): readonly string[] {
  const whereOf = ({ partId, bars }: PartEdit): string => {
    const sounding = soundingBars(after, partId);
    const own = new Set(bars);
    if (sounding.filter((bar) => own.has(bar)).length >= THROUGHOUT * sounding.length) return '';
    return runsOf(bars).length > MOST_NAMED ? ' in places' : ` in ${barsText(bars)}`;
  };
  const wayOf = ({ db = 0 }: PartEdit): string => (db < 0 ? 'softer' : 'louder');
  // Amounts that are nearly the same are named together; below three decibels the half counts.
  const nearlyOf = ({ db = 0 }: PartEdit): string =>
    String(Math.abs(db) < 3 ? Math.round(2 * Math.abs(db)) / 2 : Math.round(Math.abs(db)));
  const byAmount = groupedBy(edits, (edit) => `${nearlyOf(edit)} ${wayOf(edit)}${whereOf(edit)}`);
  const groups =
    isBrief || byAmount.size > MOST_NAMED ? groupedBy(edits, (edit) => wayOf(edit) + whereOf(edit)) : byAmount;
  if (groups.size === 0) return [];
  const whoIn = (alike: readonly PartEdit[]): string => listText(alike.map(({ partId }) => name(partId)));
  const all = [...groups];
  const texts = all.map(([way, alike], index) => {
    const before = all[index - 1]?.[1];
    const [first] = alike;
    const how =
      groups !== byAmount || first === undefined
        ? way
        : `about ${amountsText(alike.map(({ db = 0 }) => db))} ${wayOf(first)}${whereOf(first)}`;
    // Who was set twice is named once.
    return before !== undefined && whoIn(before) === whoIn(alike) ? how : `${whoIn(alike)} ${how}`;
  });
  return [`makes ${listText(texts)}`];
}

/** `quantises Viola`, `plays Cello about 30 ms later`. */
function timingClauses(edits: readonly PartEdit[], step: Step, name: (partId: string) => string): readonly string[] {
  const wayOf = ({ timing }: PartEdit): string => {
    switch (timing?.how) {
      case 'closer':
        return ' closer to the written places';
      case 'freer':
        return ' more freely';
      case 'earlier':
      case 'later':
        return ` about ${String(Math.round(timing.milliseconds))} ms ${timing.how}`;
      default:
        return '';
    }
  };
  return [...groupedBy(edits, wayOf)].map(([way, alike]) => {
    const names = listText(alike.map(({ partId }) => name(partId)));
    if (way !== '') return `plays ${names}${way}`;
    const texts = alike.map(
      (edit) => `${name(edit.partId)}${isThroughout(edit, step) ? '' : ` in ${barsText(edit.bars)}`}`,
    );
    return `quantises ${listText(texts)}`;
  });
}

/** Most parts whose new names the sentence has. */
const MOST_RENAMED = 3;

/** `renames Horn to Horn 1`; where another instrument has the part now, `gives the part of Flute to Oboe`. */
function renamingClauses({ change, before, after }: Step, name: (partId: string) => string): readonly string[] {
  const earlierName = partNamer(before.stage);
  const named = renamedOnly(change, before, after);
  const given = named.filter((item) => isGivenOn(item, before, after));
  const renamed = named.filter((item) => !given.includes(item));
  const tooMany = (items: readonly unknown[]): boolean => items.length > MOST_RENAMED;
  return [
    ...(given.length === 0
      ? []
      : tooMany(given)
        ? [`gives ${counted(given.length, 'part')} to other instruments`]
        : [`gives ${listText(given.map((item) => `the part of ${earlierName(item.before)} to ${name(item.after)}`))}`]),
    ...(renamed.length === 0
      ? []
      : tooMany(renamed)
        ? [`renames ${counted(renamed.length, 'part')}`]
        : [`renames ${listText(renamed.map((item) => `${earlierName(item.before)} to ${name(item.after)}`))}`]),
  ];
}

/** `gives the line of Clarinet in bars 9–16 to Oboe`, `lets Oboe double Flute an octave below in bars 5–8`, `lets Horn enter in bar 9 instead of bar 7`. */
function lineClauses({ change, before }: Step, name: (partId: string) => string): readonly string[] {
  const earlierName = partNamer(before.stage);
  return [
    ...exchangedLines(change.given).map(
      (exchange) =>
        `exchanges the lines of ${listText(exchange.map(({ to }) => name(to)))} in ${barsText(exchange[0].bars)}${exchangedAt(exchange, name)}`,
    ),
    ...givenTogether(change.given).map((group) => {
      const [item] = group;
      const from = listText(group.map((each) => earlierName(each.from)));
      return `gives ${givenText(item, from)} in ${barsText(item.bars)} to ${name(item.to)}${octavesText(item)}`;
    }),
    ...change.doublings.map(
      (item) => `lets ${name(item.partId)} double ${doubledText(item, name)} in ${barsText(item.bars)}`,
    ),
    ...change.entries.map(
      (item) => `lets ${name(item.partId)} enter in bar ${String(item.after)} instead of bar ${String(item.before)}`,
    ),
  ];
}

/** What became of the bars, the last clause with how far others stand from where they stood: `cuts what was bars 7–8, so that what followed stands 2 bars earlier`. */
function orderClauses({ change, before, after }: Step, isBrief: boolean): readonly string[] {
  const order = change.barOrder;
  const inserted = withoutRepeated(order.inserted, order);
  const appended = withoutRepeated(order.appended, order);
  const clauses = [
    ...(order.repeats ?? []).map(repeatClause),
    ...(inserted.length === 0 ? [] : [`inserts ${barsText(inserted)}`]),
    ...(appended.length === 0 ? [] : [`adds ${barsText(appended)} at the end`]),
    ...(order.cut.length === 0 ? [] : [`cuts what was ${barsText(order.cut)}`]),
    ...order.moved.map(
      (run) => `moves ${barSpanText(run.before, run.before + run.count - 1)} to bar ${String(run.after)}`,
    ),
    ...change.rebarred.map(
      (item) =>
        `writes what was ${barSpanText(item.fromBefore, item.toBefore)} in ${meterText(item.before)} as ${counted(item.to - item.from + 1, 'bar')} of ${meterText(item.after)}, ${spanText(item.from, item.to)} now`,
    ),
  ];
  const tempos = isBrief ? [] : freshTempos(change, after.stage).map(({ text }) => `is ${text}`);
  const numbers = isBrief ? undefined : renumberedClause(change, before.stage);
  const last = clauses.at(-1);
  return numbers === undefined || last === undefined
    ? [...clauses, ...tempos]
    : [...clauses.slice(0, -1), `${last}, so that ${numbers}`, ...tempos];
}

/** What came, what went, what was rewritten, each a clause. */
function clausesOf(step: Step, isBrief: boolean): readonly string[] {
  const { change, before, after } = step;
  const name = partNamer(before.stage, after.stage);
  const earlierName = partNamer(before.stage);
  const { added, removed, split, joined } = change.parts;
  const own = ownOfDivided(change);
  const rewriting = (
    ['rewritten', 'rhythm', 'moved', 'transposed', 'extended', 'silenced', 'muted', 'unmuted'] as const
  ).flatMap((kind) => {
    const edits = change.edits.filter(
      (edit) => edit.kind === kind && edit.toldWith === undefined && !own.includes(edit),
    );
    return [...groupedBy(edits, ({ how }) => how).values()].map((alike) => rewritingClause(alike, name));
  });
  const balanced = change.edits.filter(({ kind }) => kind === 'balance');
  return [
    ...(added.length === 0 ? [] : [`adds ${entriesText(step, name)}`]),
    ...(removed.length === 0 ? [] : [`takes out ${listText(removed.map(earlierName))}`]),
    ...orderClauses(step, isBrief),
    ...(change.semitones === 0 ? [] : [`sets the whole piece ${shiftText(change.semitones)}`]),
    ...change.shifted.map((item) => `sets ${barSpanText(item.from, item.to)} ${shiftText(item.semitones)}`),
    ...split.map((item) => {
      const apart = own.filter(({ partId }) => item.after.includes(partId));
      const texts = apart.map(({ partId, bars }) => `notes of its own for ${name(partId)} in ${barsText(bars)}`);
      return `divides ${earlierName(item.before)} into ${listText(item.after.map(name))}${texts.length === 0 ? '' : `, with ${listText(texts)}`}`;
    }),
    ...retracked(change, before, after).map(({ before: id, tracks: [was, is] }) =>
      is.length > 1
        ? `divides ${earlierName(id)} between the tracks ${listText(is)}`
        : `joins the tracks ${listText(was)} in ${listText(is)}`,
    ),
    ...joined.map((item) => `joins ${listText(item.before.map(earlierName))} in ${name(item.after)}`),
    ...lineClauses(step, name),
    ...change.chords.map((item) => {
      const which = isBrief || item.bars.length > MOST_CHORDS ? undefined : otherChordsText(item);
      return `changes the chords in ${barsText(item.bars)}${which === undefined ? '' : ` (${which})`}`;
    }),
    ...rewriting,
    ...balanceClauses(balanced, step, name, isBrief),
    ...(change.tempo.length > MOST_NAMED
      ? [`takes another tempo in ${listText(change.tempo.map((item) => barSpanText(item.from, item.to)))}`]
      : change.tempo.map((item) => tempoClause(item, step, isBrief))),
    ...(change.meter.length === 0
      ? []
      : [`changes the meter in ${listText(change.meter.map((item) => barSpanText(item.from, item.to)))}`]),
    ...renamingClauses(step, name),
  ];
}

/** Of more clauses than `most` the last are counted. */
function inOneSentence(clauses: readonly string[], most: number): string {
  const more = clauses.length - most;
  const told = more > 1 ? [...clauses.slice(0, most), `makes ${String(more)} more changes`] : clauses;
  const last = told.at(-1) ?? '';
  return told.length === 1 ? last : `${told.slice(0, -1).join('; ')}; and ${last}`;
}

/** The same for a first screen, as the rest of a sentence that begins with the stage: short, and without a figure of loudness. */
export function briefChange(step: Step): string {
  const clauses = clausesOf(step, true);
  if (clauses.length > 0) return inOneSentence(clauses, MOST_ON_FIRST_SCREEN);
  return step.change.edits.some(({ kind }) => kind === 'timing')
    ? 'changes the timing only, not the notation'
    : 'has the same music';
}

/** What a list would tell more exactly, where one thing was done and there is no list: how much louder, how played, where a part was. */
function aloneText(step: Step, name: (partId: string) => string): string | undefined {
  const [only, another] = changeSentences(step).filter(({ isSum }) => isSum !== true);
  if (only === undefined || another !== undefined) return undefined;
  const { change, before } = step;
  const partIds = change.edits.map(({ partId }) => partId);
  const parts = `${listText(partIds.map(name))} ${agreeing(partIds.length, 'is', 'are')}`;
  const [edit] = change.edits;
  if (edit?.kind === 'timing') return `${parts} ${editText(edit)}`;
  if (edit?.kind === 'balance' || edit?.kind === 'muted') return `${parts} ${editText(edit)} in ${barsText(edit.bars)}`;
  const [gone] = change.parts.removed;
  if (gone === undefined) return undefined;
  return `${partNamer(before.stage)(gone)} is taken out; it played in ${barsText(soundingBars(before, gone))}`;
}

/** One sentence that sums the step up; `against` where the stages do not follow one another. */
export function leadSentence(step: Step, number: number, against?: number): string {
  const { change, before, after } = step;
  const name = partNamer(before.stage, after.stage);
  const timed = change.edits.filter(({ kind }) => kind === 'timing');
  const alone = aloneText(step, name);
  if (alone !== undefined) {
    const from = against === undefined ? 'In' : `Against stage ${String(against)}, in`;
    return fullStop(`${from} stage ${String(number)} ${alone}`);
  }
  const clauses = clausesOf(step, false);
  const stage =
    against === undefined ? `Stage ${String(number)}` : `Against stage ${String(against)}, stage ${String(number)}`;
  if (clauses.length === 0 && timed.length > 0)
    return fullStop(`${stage} only ${listText(timingClauses(timed, step, name))}`);
  if (clauses.length === 0) {
    return against === undefined
      ? `In stage ${String(number)} nothing in the music differs.`
      : `Between stages ${String(against)} and ${String(number)} nothing in the music differs.`;
  }
  const quantised = timed.filter(({ timing }) => timing?.how === 'quantised');
  const tight = timingClauses(quantised, step, name).map((clause) => ` ${fullStop(`It ${clause}`)}`);
  return `${fullStop(`${stage} ${inOneSentence(clauses, MOST_CLAUSES)}`)}${tight.join('')}`;
}
