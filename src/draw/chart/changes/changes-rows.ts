/** The rows of a strip for one step from stage to stage: each part with what was done to it, and the same as a table. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import { barsText, listText, numbersIn } from '../../../model/words/plain-words.ts';
import type { PartEdit, PartEditKind, StageChange, StageReadings } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { cellKindOf, doubledText, editText, givenText, octavesText, type CellKind } from './changes-cells.ts';
import { tableName } from '../frame/front.ts';

/** Larger ensembles show only the parts that something was done to. */
const MOST_UNTOUCHED_PARTS = 24;

/** Edits after which a part still has the music of before. */
const OF_PLAYING: ReadonlySet<PartEditKind> = new Set(['balance', 'timing', 'muted', 'unmuted']);

/** A stage with what the strip needs of it. */
export interface StripStage {
  readonly stage: Stage;
  readonly readings: StageReadings;
}

/** Columns of the common ruler and where the bars of each stage stand among them. */
export interface StripColumns {
  readonly columns: readonly Bar[];
  readonly columnOf: (stageId: string, bar: number) => number | undefined;
}

export interface StripRow {
  readonly part: Part;
  /** What there is to see, by column; later kinds lie above earlier ones. */
  readonly cells: readonly { readonly kind: CellKind; readonly columns: ReadonlySet<number>; readonly up: boolean }[];
  readonly isTouched: boolean;
}

export function columnsOf(common: StripColumns, stageId: string, bars: Iterable<number>): ReadonlySet<number> {
  return new Set([...bars].flatMap((bar) => common.columnOf(stageId, bar) ?? []));
}

/** Bars in which a part of a stage sounds. */
export function soundingBars({ readings }: StripStage, partId: string): number[] {
  return readings.presence.flatMap((span) => (span.partId === partId ? numbersIn(span) : []));
}

/** Bars in which a part stands higher or lower because all that sounds does. */
function movedWithAll(
  { semitones, shifted, parts }: StageChange,
  part: Part,
  sounding: readonly number[],
): readonly { readonly bars: readonly number[]; readonly isUp: boolean }[] {
  if (part.unpitched || parts.added.includes(part.id)) return [];
  const whole = semitones === 0 ? [] : [{ from: -Infinity, to: Infinity, semitones }];
  return [...whole, ...shifted].map((item) => ({
    bars: sounding.filter((bar) => bar >= item.from && bar <= item.to),
    isUp: item.semitones > 0,
  }));
}

/** Bars of the later stage that the earlier one had not, wherever they stand. */
export function newBars({ barOrder }: StageChange): readonly number[] {
  return [...barOrder.inserted, ...barOrder.appended];
}

/** Parts of the later stage that something was done to, with those that have another name, another instrument or another's notes now. */
function touchedParts({ parts, edits }: StageChange, tracked: readonly Retracked[]): ReadonlySet<string> {
  return new Set([
    ...parts.added,
    ...parts.renamed.map(({ after }) => after),
    ...parts.split.flatMap(({ after }) => after),
    ...parts.joined.map(({ after }) => after),
    ...tracked.map(({ after }) => after),
    ...edits.map(({ partId }) => partId),
  ]);
}

/** True where another instrument has the part now; where none has, the part has another name only. */
export function isGivenOn(
  item: StageChange['parts']['renamed'][number],
  before: StripStage,
  after: StripStage,
): boolean {
  const instrument = ({ stage }: StripStage, id: string): string | undefined =>
    stage.parts.find((part) => part.id === id)?.instrument;
  return instrument(before, item.before) !== instrument(after, item.after);
}

/** A part that is one track in one of two stages and several in the other: two hands that were recorded apart, or put together. */
export interface Retracked {
  readonly before: string;
  readonly after: string;
  /** Names of its tracks in both stages. */
  readonly tracks: readonly [before: readonly string[], after: readonly string[]];
}

/** What is played with the feet is a line of its own and no way of playing. */
const FEET = /^(?:pedal|ped)$/u;

/** Names of a part's tracks; none where a track is a way of playing and not a hand, or the feet. */
function trackNames({ tracks, family }: Part): readonly string[] {
  const isWay = ({ articulation }: Part['tracks'][number]): boolean =>
    articulation !== '' && !(family === 'keyboard' && FEET.test(articulation));
  return tracks.some(isWay) ? [] : [...new Set(tracks.flatMap(({ name }) => (name === '' ? [] : [name])))];
}

/** Parts whose tracks were divided or joined, though they are one part in both stages. */
export function retracked({ parts }: StageChange, before: StripStage, after: StripStage): readonly Retracked[] {
  const earlier = new Map(parts.renamed.map((item) => [item.after, item.before]));
  const others = new Set([
    ...parts.added,
    ...parts.split.flatMap((item) => item.after),
    ...parts.joined.map((item) => item.after),
  ]);
  return after.stage.parts.flatMap((part): Retracked[] => {
    const id = earlier.get(part.id) ?? part.id;
    const old = before.stage.parts.find((candidate) => candidate.id === id);
    if (old === undefined || others.has(part.id)) return [];
    const tracks = [trackNames(old), trackNames(part)] as const;
    const [least, most] = tracks.map(({ length }) => length).sort((a, b) => a - b);
    return least === 1 && (most ?? 0) > 1 ? [{ before: id, after: part.id, tracks }] : [];
  });
}

/** Parts that have another name and are the same tracks. */
export function renamedOnly(
  change: StageChange,
  before: StripStage,
  after: StripStage,
): StageChange['parts']['renamed'] {
  const told = new Set(retracked(change, before, after).map((item) => item.after));
  return change.parts.renamed.filter((item) => !told.has(item.after));
}

export function rowsOf(before: StripStage, after: StripStage, change: StageChange, common: StripColumns): StripRow[] {
  const { removed, added } = change.parts;
  const cell = (kind: CellKind, side: StripStage, bars: Iterable<number>, up = false): StripRow['cells'][number] => ({
    kind,
    columns: columnsOf(common, side.stage.id, bars),
    up,
  });
  const own = (edit: PartEdit): StripRow['cells'][number] =>
    cell(
      cellKindOf(edit, change.given),
      after,
      edit.bars,
      (edit.semitones ?? edit.db ?? 0) > 0 || edit.moved?.endsWith('later') === true,
    );
  const touched = touchedParts(change, retracked(change, before, after));
  const fresh = new Set(newBars(change));
  const there = after.stage.parts.map((part): StripRow => {
    const edits = change.edits.filter((edit) => edit.partId === part.id);
    const sounding = soundingBars(after, part.id);
    // In a bar that is new nothing plays as before.
    const isNew = (bar: number): boolean => added.includes(part.id) || fresh.has(bar);
    const old = sounding.filter((bar) => !isNew(bar));
    const moved = movedWithAll(change, part, old);
    const others = new Set([
      ...moved.flatMap(({ bars }) => bars),
      ...edits.flatMap((edit) => (OF_PLAYING.has(edit.kind) ? [] : edit.bars)),
    ]);
    const asBefore = old.filter((bar) => !others.has(bar));
    const base = [cell('same', after, asBefore), cell('new', after, sounding.filter(isNew))];
    const shifted = moved.map(({ bars, isUp }) => cell('transposed', after, bars, isUp));
    return { part, cells: [...base, ...shifted, ...edits.map(own)], isTouched: touched.has(part.id) };
  });
  const gone = before.stage.parts
    .filter((part) => removed.includes(part.id))
    .map((part): StripRow => ({ part, cells: [cell('gone', before, soundingBars(before, part.id))], isTouched: true }));
  const rows = [...there, ...gone];
  return rows.length > MOST_UNTOUCHED_PARTS ? rows.filter((row) => row.isTouched) : rows;
}

/** What was done in an edit; a doubling is told by the line that is doubled, and a line by who had it. */
function whatText(
  edit: PartEdit,
  { doublings, given }: StageChange,
  name: (partId: string) => string,
  earlierName: (partId: string) => string,
): string {
  const isHere = ({ bars }: { readonly bars: readonly number[] }): boolean =>
    bars.some((bar) => edit.bars.includes(bar));
  const lines = doublings.filter((item) => item.partId === edit.partId && isHere(item));
  if (cellKindOf(edit, given) === 'doubling' && lines.length > 0)
    return `doubles ${listText(lines.map((line) => doubledText(line, name)))}`;
  const had = edit.toldWith === 'given' ? given.filter((item) => item.to === edit.partId && isHere(item)) : [];
  if (had.length > 0 && (edit.kind === 'rewritten' || edit.kind === 'extended'))
    return had.map((item) => `has ${givenText(item, earlierName(item.from))}${octavesText(item)}`).join(', ');
  return edit.toldWith === 'chords' ? 'other notes, as the chords are others' : editText(edit);
}

function namesIn({ stage }: StripStage): (partId: string) => string {
  return (partId) => stage.parts.find(({ id }) => id === partId)?.name ?? partId;
}

export function tableRows(before: StripStage, after: StripStage, change: StageChange): string[][] {
  const row = (part: Part, what: string, bars: readonly number[]): string[] => [
    tableName(part),
    what,
    barsText(bars, 12),
  ];
  const { added, renamed, split, joined } = change.parts;
  const tracked = retracked(change, before, after);
  const there = after.stage.parts.flatMap((part) => {
    const edits = change.edits.filter((edit) => edit.partId === part.id);
    const [hands, now = []] = tracked.find((item) => item.after === part.id)?.tracks ?? [];
    const apart = now.length > 1 ? `on the tracks ${listText(now)}; ` : '';
    const others = [
      ...renamed.flatMap((item) => (item.after === part.id ? [item.before] : [])),
      ...split.flatMap((item) => (item.after.includes(part.id) ? [item.before] : [])),
      ...joined.flatMap((item) => (item.after === part.id ? item.before : [])),
    ].map(namesIn(before));
    const names = hands ?? others;
    return [
      ...(added.includes(part.id) ? [row(part, 'new', soundingBars(after, part.id))] : []),
      ...(names.length === 0 ? [] : [row(part, `${apart}before: ${listText(names)}`, soundingBars(after, part.id))]),
      ...edits.map((edit) => row(part, whatText(edit, change, namesIn(after), namesIn(before)), edit.bars)),
    ];
  });
  const gone = before.stage.parts.filter((part) => change.parts.removed.includes(part.id));
  return [...there, ...gone.map((part) => row(part, 'gone', soundingBars(before, part.id)))];
}
