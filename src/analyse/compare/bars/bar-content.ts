/** What sounds anew in each bar, as sorted numbers that are quick to compare. */
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { distinct } from '../../../model/sorted-sets.ts';
import type { BarNote, BarPart } from './bar-notes.ts';
import { onceEach } from '../../../model/once-each.ts';

/** Onsets are told apart by sixteenths: the notation may place a loosely played note by a thirty-second either way. */
const ONSET_STEP = DIVISIONS_PER_QUARTER / 4;

export interface BarContent {
  /** Onsets and pitches of all parts, each once, ascending. */
  readonly all: () => readonly number[];
  /** Of the parts that both stages have. */
  readonly common: readonly number[];
  /** Divisions for which the notes of those parts last, added up: tells bars apart that begin the same notes. */
  readonly commonLength: number;
  readonly isEmpty: boolean;
  /** True where all parts are such parts: what they begin is all. */
  readonly isWhole: boolean;
}

/** Place of notes that are held into a bar: one that no onset has. */
const HELD_OVER = 4095;

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
  readonly codes: readonly (readonly number[])[];
  /** Codes of notes that are held into the bar. */
  readonly held: readonly (readonly number[])[];
  readonly length: Float64Array;
}

const partContents = onceEach((notes: readonly BarNote[]) =>
  onceEach((bars: BarStarts): PartContent => {
    const codes = bars.map((): number[] => []);
    const held = bars.map((): number[] => []);
    const length = new Float64Array(bars.length);
    for (const note of notes) {
      codes[note.bar]?.push(codeOf(Math.round(note.onset / ONSET_STEP), note.midi));
      for (let bar = note.bar + 1; bar < bars.length; bar++) {
        const start = (bars[bar]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
        if (start > note.start + note.length - ONSET_STEP) break;
        held[bar]?.push(codeOf(HELD_OVER, note.midi));
      }
      length[note.bar] = (length[note.bar] ?? 0) + note.length;
    }
    return { codes: codes.map(distinct), held: held.map(distinct), length };
  }),
);

/** The same parts of a stage, and the same parts in common, are asked for with one stage after another. */
const knownContents = onceEach<readonly BarPart[], (bars: BarStarts) => Map<string, readonly BarContent[]>>(() =>
  onceEach(() => new Map<string, readonly BarContent[]>()),
);

/**
 * Content of every bar; of one in which the common parts begin nothing, the notes that they hold there. Pitches are moved by `semitones`,
 * but for parts without pitch.
 */
export function barContents(
  parts: readonly BarPart[],
  bars: BarStarts,
  common: CommonParts,
  semitones: number,
): readonly BarContent[] {
  const known = knownContents(parts)(bars);
  const key = JSON.stringify([semitones, common]);
  const found = known.get(key);
  if (found !== undefined) return found;
  const made = contentsOf(parts, bars, common, semitones);
  known.set(key, made);
  return made;
}

function contentsOf(
  parts: readonly BarPart[],
  bars: BarStarts,
  common: CommonParts,
  semitones: number,
): readonly BarContent[] {
  const rankOf = new Map(common.map((partId, rank) => [partId, rank]));
  const contents = parts.map(({ part, notes }) => ({
    shift: part.unpitched ? 0 : semitones,
    rank: rankOf.get(part.id),
    content: partContents(notes)(bars),
  }));
  const ranked = contents
    .flatMap(({ shift, rank, content }) => (rank === undefined ? [] : [{ rank, shift, content }]))
    .sort((a, b) => a.rank - b.rank);
  const isWhole = ranked.length === contents.length;
  return bars.map((_, bar): BarContent => {
    let commonLength = 0;
    const begun: number[] = [];
    for (const { rank, shift, content } of ranked) {
      commonLength += content.length[bar] ?? 0;
      const own = rank * PART_CODES + shift;
      const codes = content.codes[bar] ?? [];
      for (let at = 0; at < codes.length; at++) begun.push(own + (codes[at] ?? 0));
    }
    const held = (): number[] =>
      ranked.flatMap(({ rank, shift, content }) =>
        (content.held[bar] ?? []).map((code) => rank * PART_CODES + shift + code),
      );
    let all: readonly number[] | undefined;
    return {
      all: () =>
        (all ??= distinct(
          contents.flatMap(({ shift, content }) => (content.codes[bar] ?? []).map((code) => code + shift)),
        )),
      common: begun.length > 0 ? begun : held(),
      commonLength,
      isWhole,
      isEmpty: contents.every(({ content }) => (content.codes[bar]?.length ?? 0) === 0),
    };
  });
}
