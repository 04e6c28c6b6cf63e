/** What sounds anew in each bar, as sorted numbers that are quick to compare. */
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { distinct } from '../../../model/sorted-sets.ts';
import { onceEach } from '../../../model/once-each.ts';
import type { BarPart } from './bar-parts.ts';
import { FIELDS, LENGTH, ONSET, type NoteColumns } from './note-columns.ts';

/** Onsets are told apart by sixteenths: the notation may place a loosely played note by a thirty-second either way. */
const ONSET_STEP = DIVISIONS_PER_QUARTER / 4;

export interface BarContent {
  /** Onsets and pitches of all parts, each once, ascending; of parts with pitch so many semitones higher. */
  readonly all: (semitones?: number) => readonly number[];
  /** Of the parts that both stages have. */
  readonly common: ArrayLike<number>;
  /** Divisions for which the notes of those parts last, added up: tells bars apart that begin the same notes. */
  readonly commonLength: number;
  readonly isEmpty: boolean;
  /** True where all parts are such parts: what they begin is all. */
  readonly isWhole: boolean;
}

/** Place of notes that are held into a bar: one that no onset has. */
const HELD_OVER = 4095;

/** No interval between two keys is so large. */
const MOST_SEMITONES = 512;

/** Codes of one part are apart from those of all others. */
export const PART_CODES = 4096 * 256;

/** Pitches that were moved may leave the 128 keys. */
function codeOf(place: number, midi: number): number {
  return place * 256 + midi + 64;
}

/** The ids of the parts that both stages have, in one order. */
export type CommonParts = readonly string[];

type BarStarts = readonly Pick<Bar, 'startQuarters'>[];

/** Of one part, by index of the bar. */
interface PartContent {
  /** Those of a bar, each once, ascending, stand from its first on up to its end. */
  readonly codes: Int32Array;
  readonly firsts: Uint32Array;
  readonly ends: Uint32Array;
  /** Codes of notes that are held into the bar, where there are some. */
  readonly held: readonly (readonly number[] | undefined)[];
  readonly length: Float64Array;
}

/** Adds a code to those from a place up to another, ascending, if it is not there; returns where they end then. */
function addCode(codes: Int32Array, from: number, end: number, code: number): number {
  let at = end;
  while (at > from && (codes[at - 1] ?? 0) > code) at--;
  if (at > from && codes[at - 1] === code) return end;
  if (at < end) codes.copyWithin(at + 1, at, end);
  codes[at] = code;
  return end + 1;
}

const partContents = onceEach((columns: NoteColumns) => onceEach((bars: BarStarts) => contentOfPart(columns, bars)));

/** Adds the codes of the notes from one place to another behind those that are there; returns where they end. */
function addCodes({ fields, midi }: NoteColumns, from: number, to: number, codes: Int32Array, first: number): number {
  let end = first;
  for (let at = from; at < to; at++) {
    const code = codeOf(Math.round((fields[FIELDS * at + ONSET] ?? 0) / ONSET_STEP), midi[at] ?? 0);
    // Notes are in order, and mostly their codes.
    if (end === first || code > (codes[end - 1] ?? 0)) codes[end++] = code;
    else end = addCode(codes, first, end, code);
  }
  return end;
}

function contentOfPart(columns: NoteColumns, bars: BarStarts): PartContent {
  const { fields, midi, places, starts } = columns;
  const codes = new Int32Array(midi.length);
  const firsts = new Uint32Array(bars.length);
  const ends = new Uint32Array(bars.length);
  const held: (number[] | undefined)[] = [];
  const length = new Float64Array(bars.length);
  let end = 0;
  for (let bar = 0; bar < bars.length; bar++) {
    const next = (bars[bar + 1]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
    const last = starts[bar + 1] ?? midi.length;
    const first = end;
    end = addCodes(columns, starts[bar] ?? last, last, codes, first);
    let sum = 0;
    for (let at = starts[bar] ?? last; at < last; at++) {
      const lasts = fields[FIELDS * at + LENGTH] ?? 0;
      sum += lasts;
      const until = (places[at] ?? 0) + lasts - ONSET_STEP;
      if (next <= until) addHeld(held, bars, bar, until, codeOf(HELD_OVER, midi[at] ?? 0));
    }
    firsts[bar] = first;
    ends[bar] = end;
    length[bar] = sum;
  }
  return { codes, firsts, ends, held: held.map((own) => own && distinct(own)), length };
}

/** Adds the code of a note to those held into the bars after its own, up to a place. */
function addHeld(held: (number[] | undefined)[], bars: BarStarts, own: number, until: number, code: number): void {
  for (let bar = own + 1; bar < bars.length; bar++) {
    if ((bars[bar]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER > until) break;
    (held[bar] ??= []).push(code);
  }
}

/** The same parts of a stage, and the same parts in common, are asked for with one stage after another. */
const knownContents = onceEach<readonly BarPart[], (bars: BarStarts) => Map<string, readonly BarContent[]>>(() =>
  onceEach(() => new Map<string, readonly BarContent[]>()),
);

/** A stage with its parts at another pitch, but for those without pitch. */
export interface MovedContents {
  readonly contents: readonly BarContent[];
  readonly semitones: number;
  /** By rank among the common parts. */
  readonly isPitched: readonly boolean[];
}

export function movedContents(
  contents: readonly BarContent[],
  parts: readonly BarPart[],
  common: CommonParts,
  semitones: number,
): MovedContents {
  const unpitched = new Set(parts.flatMap(({ part }) => (part.unpitched ? [part.id] : [])));
  return { contents, semitones, isPitched: common.map((partId) => !unpitched.has(partId)) };
}

/** Content of every bar; of one in which the common parts begin nothing, the notes that they hold there. */
export function barContents(parts: readonly BarPart[], bars: BarStarts, common: CommonParts): readonly BarContent[] {
  const known = knownContents(parts)(bars);
  const key = JSON.stringify(common);
  const found = known.get(key);
  if (found !== undefined) return found;
  const made = contentsOf(parts, bars, common);
  known.set(key, made);
  return made;
}

function contentsOf(parts: readonly BarPart[], bars: BarStarts, common: CommonParts): readonly BarContent[] {
  const rankOf = new Map(common.map((partId, rank) => [partId, rank]));
  const contents = parts.map(({ part, columns }) => ({
    isPitched: !part.unpitched,
    rank: rankOf.get(part.id),
    content: partContents(columns)(bars),
  }));
  const ranked = contents
    .flatMap(({ rank, content }) => (rank === undefined ? [] : [{ rank, content }]))
    .sort((a, b) => a.rank - b.rank);
  const isWhole = ranked.length === contents.length;
  // Of all bars: a bar has a stretch of it.
  const every = new Int32Array(ranked.reduce((sum, { content }) => sum + content.codes.length, 0));
  let end = 0;
  return bars.map((_, bar): BarContent => {
    let commonLength = 0;
    const from = end;
    for (const { rank, content } of ranked) {
      commonLength += content.length[bar] ?? 0;
      const own = rank * PART_CODES;
      const last = content.ends[bar] ?? 0;
      for (let at = content.firsts[bar] ?? 0; at < last; at++) every[end++] = own + (content.codes[at] ?? 0);
    }
    const held = (): number[] =>
      ranked.flatMap(({ rank, content }) => (content.held[bar] ?? []).map((code) => rank * PART_CODES + code));
    const known: (readonly number[])[] = [];
    const allAt = (semitones: number): readonly number[] =>
      distinct(
        contents.flatMap(({ isPitched, content: { codes, firsts, ends } }) =>
          Array.from(codes.subarray(firsts[bar], ends[bar]), (code) => code + (isPitched ? semitones : 0)),
        ),
      );
    return {
      all: (semitones = 0) => (known[semitones + MOST_SEMITONES] ??= allAt(semitones)),
      common: end > from ? every.subarray(from, end) : held(),
      commonLength,
      isWhole,
      isEmpty: contents.every(({ content }) => content.firsts[bar] === content.ends[bar]),
    };
  });
}
