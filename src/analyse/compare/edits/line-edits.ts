/** What was done to a part, or to the parts that it was split into or joined from. */
import { groupedBy } from '../../../model/grouped.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import type { PartEdit } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { shapedAlike } from './balance-edits.ts';
import { listedOnce, raised, type BarNote, type LazyNotes } from '../bars/bar-notes.ts';
import type { PartNotes } from '../bars/bar-parts.ts';
import {
  countOf,
  joinedNotes,
  matchNotes,
  NONE_SAME,
  PLAYED,
  standAsBefore,
  TOLERANCE_DIVISIONS,
  type KeptNotes,
  type NoteMatch,
} from '../matches/match-notes.ts';
import { shiftOf } from './line-shift.ts';
import type { PartLine } from '../matches/match-parts.ts';
import { partEdits } from './part-edits.ts';
import { withoutReadings, type StrokeSides } from '../matches/same-strokes.ts';
import { matchTakes } from './match-takes.ts';
import { barsUnder } from '../matches/part-sides.ts';
import { isPlayedAnew } from './played-timing.ts';
import type { PartedNotes, PlacedNotes } from './notes-like.ts';

/** A part was moved as a whole where this share of its notes stands at one interval from where it stood. */
const WHOLE_PART = 0.8;
/** The piece was moved where parts with this share of all notes were moved alike. */
const WHOLE_PIECE = 0.6;

export interface FollowedLine {
  readonly line: PartLine;
  /** Interval at which the whole part stands now; undefined where its notes do not agree on one. */
  readonly semitones: number | undefined;
  readonly isPitched: boolean;
  /** True where every note stands, is played and is set as it was. */
  readonly isUntouched: boolean;
  /** Notes of either stage in bars that both have. */
  readonly before: LazyNotes;
  /** How many those of the earlier stage are. */
  readonly count: number;
  /** The same bar by bar, where one part is compared with the part of its id. */
  readonly parted: PartedNotes | undefined;
  readonly after: LazyNotes;
  /** Who plays it in either stage. */
  readonly players: Pick<StrokeSides, 'before' | 'after'>;
}

/** Estimated levels of a part by bar index, Infinity where it is silent or nothing was estimated. */
export type LevelByBar = (partId: string) => Float64Array;

type NotesById = ReadonlyMap<string, PartNotes>;

/** Notes that several parts have at one place stand once where those parts are one. */
function eachOnce(notes: readonly BarNote[]): readonly BarNote[] {
  const seen = new Set<string>();
  return notes.filter(({ midi, start }) => {
    const place = `${String(midi)} ${String(Math.round(start / TOLERANCE_DIVISIONS))}`;
    return !seen.has(place) && seen.add(place).size > 0;
  });
}

/** Of a single part the very notes. */
function notesOf(ids: readonly string[], parts: NotesById): LazyNotes {
  const [id = '', another] = ids;
  const own = another === undefined ? parts.get(id) : undefined;
  return own ?? listedOnce(() => ids.flatMap((one) => parts.get(one)?.notes() ?? []));
}

function partsOf(ids: readonly string[], parts: NotesById): readonly Part[] {
  return ids.flatMap((id) => parts.get(id)?.part ?? []);
}

/** True where no part that has notes is without pitch. */
function havePitch(ids: readonly string[], parts: NotesById): boolean {
  return !ids.some((id) => {
    const notes = parts.get(id);
    return notes?.part.unpitched === true && notes.count() > 0;
  });
}

/** Share of the notes that stand where they stood, in the same order: of either stage, the lesser share. */
function stayedShare(old: readonly BarNote[], fresh: readonly BarNote[]): number {
  let stayed = 0;
  for (let at = 0, atAfter = 0; at < old.length && atAfter < fresh.length;) {
    const one = old[at];
    const other = fresh[atAfter];
    if (one === undefined || other === undefined) break;
    if (one === other) {
      stayed++;
      at++;
      atAfter++;
    } else if (one.start <= other.start) at++;
    else atAfter++;
  }
  return stayed / Math.max(1, old.length, fresh.length);
}

/** A line without what is known of the intervals in it. */
type Sides = Pick<FollowedLine, 'before' | 'after' | 'parted'>;

function isUntouchedLine({ before, after, parted }: Sides): boolean {
  if (parted !== undefined) return parted.before.length + parted.after.length + parted.restruck.count === 0;
  const [old, fresh] = [before.notes(), after.notes()];
  if (old === fresh) return true;
  const isShapedAlike = shapedAlike();
  return standAsBefore(old, fresh) && fresh.every((note, index) => isShapedAlike(old[index] ?? note, note));
}

/** Interval at which notes that may have been touched stand now. */
function intervalOf({ before, after, parted }: Sides): number | undefined {
  if (parted === undefined) {
    const [old, fresh] = [before.notes(), after.notes()];
    return stayedShare(old, fresh) >= WHOLE_PART ? 0 : shiftOf(old, fresh, WHOLE_PART);
  }
  const { writtenCount, before: old, after: fresh } = parted;
  const playedCount = parted.sameCount + parted.restruck.count;
  const stayedCount = playedCount + writtenCount;
  if (stayedCount / Math.max(1, playedCount + old.length, playedCount + fresh.length) >= WHOLE_PART) return 0;
  // Bars that are written alike stand where they stood.
  const [some, others] = parted.rewritten();
  return shiftOf(some, others, WHOLE_PART, stayedCount);
}

/** Gathers the notes of a line and finds the interval by which it moved. */
export function followLine(line: PartLine, before: ReadonlyMap<string, PlacedNotes>, after: NotesById): FollowedLine {
  const [[id, another], [newId, anotherNew]] = [line.before, line.after];
  const isOne = id !== undefined && another === undefined && newId !== undefined && anotherNew === undefined;
  const isJoined = another !== undefined && newId !== undefined && anotherNew === undefined;
  // Desks in unison have each note of the part that they were.
  const news = notesOf(line.after, after);
  const isDoubled =
    another === undefined && anotherNew !== undefined && news.count() > notesOf(line.before, before).count();
  const sides: Sides = {
    before: isJoined ? listedOnce(() => eachOnce(notesOf(line.before, before).notes())) : notesOf(line.before, before),
    after: isDoubled ? listedOnce(() => eachOnce(news.notes())) : news,
    parted: isOne && id === newId ? before.get(id)?.parted : undefined,
  };
  // Of a part that is parted both sides are set up alike.
  const isPitched = havePitch(line.after, after) && (sides.parted !== undefined || havePitch(line.before, before));
  const isUntouched = isOne && isUntouchedLine(sides);
  const { parted } = sides;
  const count =
    parted === undefined ? sides.before.count() : parted.sameCount + parted.restruck.count + parted.before.length;
  const semitones = isUntouched && count > 0 ? 0 : undefined;
  return {
    ...sides,
    line,
    players: { before: partsOf(line.before, before), after: partsOf(line.after, after) },
    semitones: isPitched ? (semitones ?? intervalOf(sides)) : undefined,
    isPitched,
    isUntouched,
    count,
  };
}

/**
 * The interval that the piece has moved by: that of parts with most of all notes, whatever was done to others besides. A single part
 * that moved by octaves moved on its own.
 */
export function commonShift(lines: readonly FollowedLine[]): number {
  const pitched = lines.filter((line) => line.isPitched && line.count > 0 && line.after.count() > 0);
  const weight = (some: readonly FollowedLine[]): number => some.reduce((sum, line) => sum + line.after.count(), 0);
  const intervals = new Set(pitched.flatMap(({ semitones }) => semitones ?? []));
  for (const semitones of intervals) {
    const moved = pitched.filter((line) => line.semitones === semitones);
    if (semitones === 0 || weight(moved) < WHOLE_PIECE * weight(pitched)) continue;
    if (moved.length > 1 || semitones % 12 !== 0) return semitones;
  }
  return 0;
}

export interface LineContext {
  /** Interval by which the whole piece stands otherwise than the notes of the earlier stage are given. */
  readonly semitones: number;
  /** True where the piece, or a stretch of it, was moved to another pitch. */
  readonly isShifted: boolean;
  /** Of the earlier stage, between the bar lines of which the later one is compared. */
  readonly barsBefore: readonly Bar[];
  readonly barsAfter: readonly Bar[];
  readonly beforeOf: readonly number[];
  readonly afterOf: readonly number[];
  /** By index of the later stage: how much higher a bar is given than it stood. */
  readonly shiftOf: (bar: number) => number;
  readonly levelBefore: LevelByBar;
  readonly levelAfter: LevelByBar;
  /** True where the levels of both stages were estimated; by bar index of the later one. */
  readonly isMeasured: (bar: number) => boolean;
}

function transposition(found: FollowedLine, context: LineContext): readonly PartEdit[] {
  const semitones = (found.semitones ?? context.semitones) - context.semitones;
  const partId = found.line.after[0];
  if (semitones === 0 || partId === undefined) return [];
  const bars = context.barsAfter;
  const touched = new Set(found.after.notes().flatMap((note) => barsUnder(bars, note.start, note.start + note.length)));
  const numbers = [...touched].sort((a, b) => a - b).flatMap((bar) => bars[bar]?.number ?? []);
  return [{ partId, kind: 'transposed', semitones, bars: numbers }];
}

/** A line with its notes at the pitch of the later stage, and what became of them. */
export interface MatchedLine {
  readonly found: FollowedLine;
  readonly before: LazyNotes;
  readonly match: NoteMatch;
}

function paceOf(bars: readonly Bar[]): (bar: number) => number {
  return (bar) => {
    const { lengthQuarters = 0, lengthSeconds = 0 } = bars[bar] ?? {};
    return lengthQuarters > 0 ? lengthSeconds / lengthQuarters : 0.5;
  };
}

/** Every note of a line that nobody touched. */
function keptAll({ before: olds, after: news, parted }: FollowedLine): NoteMatch {
  const { before, after } = parted ?? { before: olds.notes(), after: news.notes() };
  const { sameCount, same, restruck } = parted ?? NONE_SAME;
  const kept = { sameCount, same, restruck, before, after, laterSeconds: after.map(() => 0), lengthened: [] };
  return { kept, lost: [], gained: [] };
}

/** Matches the notes of all lines. */
export function matchLines(
  lines: readonly FollowedLine[],
  context: Pick<LineContext, 'semitones' | 'barsBefore' | 'barsAfter' | 'beforeOf' | 'shiftOf'>,
): readonly MatchedLine[] {
  const { semitones, barsAfter } = context;
  const pace = paceOf(barsAfter);
  const matched = lines.map((found): MatchedLine => {
    const shift = found.semitones ?? semitones;
    const { parted } = found;
    if (shift === 0) {
      const { before, isUntouched } = found;
      if (isUntouched) return { found, before, match: keptAll(found) };
      if (parted !== undefined)
        return { found, before, match: matchNotes(parted.before, parted.after, pace, PLAYED, parted) };
    }
    const before = listedOnce(() => raised(found.before.notes(), shift));
    return { found, before, match: matchNotes(before.notes(), found.after.notes(), pace) };
  });
  const plain = matched.map((line): MatchedLine => {
    const { found, match } = line;
    if (match.lost.length + match.gained.length === 0) return line;
    const shift = found.semitones ?? semitones;
    const shiftOf = (bar: number): number => shift + context.shiftOf(bar);
    const own = withoutReadings(match, { ...context, ...found.players, shiftOf });
    return own === match ? line : { ...line, match: own };
  });
  let all: KeptNotes | undefined;
  const allKept = (): KeptNotes => (all ??= joinedNotes(plain.map(({ match }) => match.kept)));
  return plain.map((line) => {
    const match = matchTakes(line.match, allKept, pace);
    const kept = withoutUnisons(line, match.kept);
    return kept === match.kept && match === line.match ? line : { ...line, match: { ...match, kept } };
  });
}

/** The notes of a pitch that sound while another of that pitch does. */
function inUnison(notes: readonly BarNote[]): ReadonlySet<BarNote> {
  const found = new Set<BarNote>();
  for (const group of groupedBy(notes, ({ midi }) => midi).values()) {
    const sorted = [...group].sort((a, b) => a.start - b.start);
    let longest = sorted[0];
    for (const note of sorted.slice(1)) {
      if (longest !== undefined && note.start < longest.start + longest.length) found.add(note).add(longest);
      if (longest === undefined || note.start + note.length > longest.start + longest.length) longest = note;
    }
  }
  return found;
}

/** Where two parts are one track, a pitch that both hold ends with the first of them: nobody wrote another length. */
function withoutUnisons({ found, before }: Omit<MatchedLine, 'match'>, kept: KeptNotes): KeptNotes {
  if (found.line.before.length === found.line.after.length || kept.lengthened.length === 0) return kept;
  const [olds, news]: readonly ReadonlySet<BarNote | undefined>[] = [
    inUnison(before.notes()),
    inUnison(found.after.notes()),
  ];
  const isUnison = (place: number): boolean =>
    olds?.has(kept.before[place]) === true || news?.has(kept.after[place]) === true;
  return { ...kept, lengthened: kept.lengthened.filter((place) => !isUnison(place)) };
}

/** Fewer notes do not tell of themselves whether they were played in anew. */
const FEWEST_NOTES = 8;

/** Which lines were played in anew; one of few notes goes with the others. */
export function playedAnew(lines: readonly MatchedLine[]): (line: MatchedLine) => boolean {
  const isAnew = new Map(
    lines.flatMap((line) =>
      countOf(line.match.kept) < FEWEST_NOTES ? [] : [[line, isPlayedAnew(line.match.kept)] as const],
    ),
  );
  const count = [...isAnew.values()].filter(Boolean).length;
  return (line) => isAnew.get(line) ?? (isAnew.size === 0 ? isPlayedAnew(line.match.kept) : 2 * count > isAnew.size);
}

/** Edits of a line; those of several parts together stand under the first of the later stage. */
export function lineEdits(
  { found, before, match }: MatchedLine,
  context: LineContext,
  isAnew: boolean,
): readonly PartEdit[] {
  const { line, after } = found;
  if (found.isUntouched && (found.semitones ?? context.semitones) === 0) return [];
  const bars = context.barsAfter;
  const [partId] = line.after;
  const [oldId] = line.before;
  if (partId === undefined || oldId === undefined) return [];
  const isOne = line.before.length === 1 && line.after.length === 1;
  const edits = partEdits({
    partId,
    before,
    after,
    match,
    bars,
    ...((found.semitones ?? context.semitones) !== context.semitones
      ? { transposed: 'alone' }
      : context.isShifted
        ? { transposed: 'with all' }
        : {}),
    isAnew,
    secondsPerQuarter: paceOf(bars),
    isOne,
    isMeasured: context.isMeasured,
    beforeOf: context.beforeOf,
    afterOf: context.afterOf,
    levelBefore: context.levelBefore(oldId),
    levelAfter: context.levelAfter(partId),
  });
  return [...transposition(found, context), ...edits];
}
