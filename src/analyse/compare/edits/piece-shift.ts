/** By how much the music as a whole, or a stretch of it, stands higher or lower. */
import type { ShiftedBars } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import type { BarNote } from '../bars/bar-notes.ts';
import type { BarPart } from '../bars/bar-parts.ts';
import { FIELDS, ONSET, type NoteColumns } from '../bars/note-columns.ts';
import { PITCHES } from '../matches/match-notes.ts';
import { onceEach } from '../../../model/once-each.ts';

/** Divisions: sixteenths. */
const ONSET_STEP = 120;
/** Fewer notes say too little about where they come from. */
const LEAST_NOTES = 2;
/** An interval at which fewer bars than this share are found again is chance. */
const LEAST_SHARE = 0.08;
const MOST_SHIFTS = 3;

/** Shapes of bars, as columns. */
interface Shapes {
  /** Whole numbers of 52 bits: two shapes of a piece share one by chance in less than one of ten million pieces. */
  readonly keys: Float64Array;
  readonly lowest: Int16Array;
}

/** Odd multipliers of two running sums of 32 bits, as in hashing by multiplication (Knuth, volume 3); the values from memory. */
const ONE_FACTOR = 0x01000193;
const OTHER_FACTOR = 0x9e3779b1;

/** What tells places and pitches above the lowest apart from all others, of the notes from one place to another. */
function keyOf({ fields, midi }: NoteColumns, from: number, to: number, lowest: number): number {
  let one = to - from;
  let other = 0;
  for (let at = from; at < to; at++) {
    const code = Math.round((fields[FIELDS * at + ONSET] ?? 0) / ONSET_STEP) * 256 + (midi[at] ?? 0) - lowest;
    one = Math.imul(one ^ code, ONE_FACTOR);
    other = Math.imul(other + code + 1, OTHER_FACTOR);
    other ^= other >>> 15;
  }
  return (one >>> 0) * 2 ** 20 + (other >>> 12);
}

/** The shape of each bar of a part: onsets and pitches above the lowest. */
const shapesOf = onceEach((columns: NoteColumns): Shapes => {
  const { midi, starts } = columns;
  const keys = new Float64Array(starts.length);
  const lowest = new Int16Array(starts.length);
  let count = 0;
  for (let bar = 0; bar + 1 < starts.length; bar++) {
    const from = starts[bar] ?? 0;
    const to = starts[bar + 1] ?? 0;
    if (to - from < LEAST_NOTES) continue;
    let least = 127;
    for (let at = from; at < to; at++) least = Math.min(least, midi[at] ?? least);
    keys[count] = keyOf(columns, from, to, least);
    lowest[count++] = least;
  }
  return { keys: keys.subarray(0, count), lowest: lowest.subarray(0, count) };
});

/** A few bits of a key: where the shapes that have them are listed. */
const BUCKETS = 1024;

/** The highest bits of a key: dividing is quicker than the remainder of so large a number. */
function bucketOf(key: number): number {
  return Math.floor(key / 2 ** 42);
}

/** The same shapes, each at each pitch once, to be looked up by key. */
interface ShapeTable extends Shapes {
  /** By bits of a key: place of the last shape that has them, and by place that of the one before it; one more than it is, 0 where there is none. */
  readonly last: Uint16Array;
  readonly before: Uint16Array;
}

const tableOf = onceEach((columns: NoteColumns): ShapeTable => {
  const { keys, lowest } = shapesOf(columns);
  const last = new Uint16Array(BUCKETS);
  const before = new Uint16Array(keys.length);
  for (let shape = 0; shape < keys.length; shape++) {
    const bucket = bucketOf(keys[shape] ?? 0);
    let place = last[bucket] ?? 0;
    while (place > 0 && (keys[place - 1] !== keys[shape] || lowest[place - 1] !== lowest[shape]))
      place = before[place - 1] ?? 0;
    if (place > 0) continue;
    before[shape] = last[bucket] ?? 0;
    last[bucket] = shape + 1;
  }
  return { keys, lowest, last, before };
});

/** Adds the intervals at which a shape is found again to the votes, together one; returns how many there are. */
function addVote({ keys, lowest, last, before }: ShapeTable, key: number, least: number, votes: Float64Array): number {
  const first = last[bucketOf(key)] ?? 0;
  let found = 0;
  for (let place = first; place > 0; place = before[place - 1] ?? 0) if (keys[place - 1] === key) found++;
  for (let place = found === 0 ? 0 : first; place > 0; place = before[place - 1] ?? 0) {
    if (keys[place - 1] !== key) continue;
    const vote = least - (lowest[place - 1] ?? 0) + PITCHES;
    votes[vote] = (votes[vote] ?? 0) + 1 / found;
  }
  return found;
}

/** Adds the intervals at which shapes are found again to the votes; returns how many are found. */
function addVotes(table: ShapeTable, { keys, lowest }: Shapes, votes: Float64Array): number {
  let count = 0;
  for (let shape = 0; shape < keys.length; shape++) {
    if (addVote(table, keys[shape] ?? -1, lowest[shape] ?? 0, votes) > 0) count++;
  }
  return count;
}

/**
 * Intervals in semitones other than 0, upwards positive, at which bars of the parts that both stages have are found again, the
 * commonest first; before it is known which bar is which.
 */
export function likelyShifts(before: readonly BarPart[], after: readonly BarPart[]): readonly number[] {
  const known = new Map(before.map((item) => [item.part.id, item]));
  const votes = new Float64Array(2 * PITCHES);
  let total = 0;
  for (const { part, columns } of after) {
    const earlier = known.get(part.id);
    if (earlier === undefined || part.unpitched) continue;
    total += addVotes(tableOf(earlier.columns), shapesOf(columns), votes);
  }
  const voted: (readonly [shift: number, count: number])[] = [];
  for (let place = 0; place < votes.length; place++) {
    const count = votes[place] ?? 0;
    if (place !== PITCHES && count > 0 && count >= LEAST_SHARE * total) voted.push([place - PITCHES, count]);
  }
  return voted
    .sort((a, b) => b[1] - a[1] || Math.abs(a[0]) - Math.abs(b[0]) || a[0] - b[0])
    .slice(0, MOST_SHIFTS)
    .map(([shift]) => shift);
}

/** A bar stands at an interval where at least this share of its notes, in each of most parts, is found there. */
const FOUND_AGAIN = 0.7;
/** So many parts that moved alike in a stretch move the music and not themselves; so few bars are an edit of the parts. */
const LEAST_PARTS = 2;
const LEAST_BARS = 3;

export interface BarShifts {
  /** Interval of the whole piece. */
  readonly semitones: number;
  /** Stretches that were moved, where not the whole piece was. */
  readonly shifted: readonly ShiftedBars[];
  /** Interval by index of the later stage's bars. */
  readonly ofBar: readonly number[];
}

/** Lists that are made once they are asked for. */
type ListsByPart = ReadonlyMap<string, { readonly notes: () => readonly BarNote[] }>;

/** Codes of the notes with pitch by bar and part. */
function codesByBar(parts: ListsByPart, barCount: number): readonly Map<string, Set<number>>[] {
  const bars = Array.from({ length: barCount }, () => new Map<string, Set<number>>());
  for (const [id, { notes }] of parts) {
    for (const note of notes()) {
      if (note.part.unpitched) continue;
      const byPart = bars[note.bar];
      if (byPart === undefined) continue;
      const codes = byPart.get(id) ?? new Set<number>();
      codes.add(Math.round(note.onset / ONSET_STEP) * 256 + note.midi);
      byPart.set(id, codes);
    }
  }
  return bars;
}

interface BarVote {
  /** Interval at which most parts of the bar are found again; undefined where they do not agree, null where nothing can be told. */
  readonly shift: number | undefined | null;
  readonly partIds: readonly string[];
}

type Codes = ReadonlyMap<string, ReadonlySet<number>>;

const NOTHING: Codes = new Map();

function isFoundAt(shift: number, olds: ReadonlySet<number>, news: ReadonlySet<number>): boolean {
  let found = 0;
  for (const code of olds) if (news.has(code + shift)) found++;
  return found >= FOUND_AGAIN * Math.max(olds.size, news.size);
}

function voteOf(before: Codes, after: Codes, shifts: readonly number[]): BarVote {
  const both = [...after.keys()].filter((id) => before.has(id));
  if (both.length === 0) return { shift: null, partIds: [] };
  const ways = shifts.map((shift) => {
    const partIds = both.filter((id) => {
      const [olds, news] = [before.get(id) ?? new Set<number>(), after.get(id) ?? new Set<number>()];
      return isFoundAt(shift, olds, news);
    });
    return { shift, partIds };
  });
  const best = ways.reduce((one, other) => (other.partIds.length > one.partIds.length ? other : one));
  return 2 * best.partIds.length > both.length ? best : { shift: undefined, partIds: [] };
}

/** A part stands at one interval where this share of its bars does. */
const WHOLE_PART = 0.6;
/** But not where so many of them stayed: then a stretch was moved. */
const MOST_STAYED = 0.1;
/** The piece was moved where so many of its parts were, octaves besides; the others were rewritten or played otherwise. */
const MOST_PARTS = 0.8;

/** Interval at which a part as a whole is found again; undefined where it does not agree on one. */
function shiftOfPart(
  id: string,
  olds: readonly Codes[],
  news: readonly Codes[],
  shifts: readonly number[],
): number | undefined {
  const counts = new Map<number, number>();
  let bars = 0;
  olds.forEach((before, bar) => {
    const [one, other] = [before.get(id), news[bar]?.get(id)];
    if (one === undefined || other === undefined) return;
    bars++;
    for (const shift of shifts) if (isFoundAt(shift, one, other)) counts.set(shift, (counts.get(shift) ?? 0) + 1);
  });
  const [best] = [...counts].sort((a, b) => b[1] - a[1]);
  if (best === undefined || best[1] < WHOLE_PART * bars) return undefined;
  const stayed = best[0] === 0 ? 0 : (counts.get(0) ?? 0);
  return stayed <= MOST_STAYED * bars ? best[0] : undefined;
}

/** Interval of the whole piece, whatever octave single parts stand at besides: the smallest of those that many parts have. */
function shiftOfParts(shifts: readonly (number | undefined)[]): number {
  const known = shifts.flatMap((shift) => shift ?? []);
  const counts = new Map<number, number>();
  for (const shift of known) counts.set(shift, (counts.get(shift) ?? 0) + 1);
  const most = Math.max(0, ...counts.values());
  const [best] = [...counts]
    .filter(([, count]) => 2 * count >= most)
    .sort((a, b) => Math.abs(a[0]) - Math.abs(b[0]) || b[1] - a[1]);
  if (best === undefined) return 0;
  const [semitones] = best;
  const alike = known.filter((shift) => shift !== 0 && (shift - semitones) % 12 === 0).length;
  if (semitones === 0 || alike < MOST_PARTS * known.length || known.length < WHOLE_PART * shifts.length) return 0;
  // A single part that moved by octaves moved on its own.
  return semitones % 12 === 0 && alike < LEAST_PARTS ? 0 : semitones;
}

/**
 * Where the music moved: the whole piece where no bar stayed at its pitch, else stretches of bars in which all that sounds moved alike.
 * Notes stand in the bars of the later stage, those of the earlier one at the pitch that they had.
 */
export function barShifts(
  before: ListsByPart,
  after: ListsByPart,
  bars: readonly Bar[],
  candidates: readonly number[],
): BarShifts {
  const none = bars.map(() => 0);
  if (candidates.length === 0) return { semitones: 0, shifted: [], ofBar: none };
  const olds = codesByBar(before, bars.length);
  const news = codesByBar(after, bars.length);
  const shifts = [0, ...candidates];
  const pitched = [...after].flatMap(([id, { notes }]) =>
    before.has(id) && notes().some(({ part }) => !part.unpitched) ? [id] : [],
  );
  const ofPiece = shiftOfParts(pitched.map((id) => shiftOfPart(id, olds, news, shifts)));
  if (ofPiece !== 0) return { semitones: ofPiece, shifted: [], ofBar: bars.map(() => ofPiece) };
  const votes = bars.map((_, bar) => voteOf(olds[bar] ?? NOTHING, news[bar] ?? NOTHING, shifts));
  // A bar that tells nothing, or was rewritten, goes with the one before it.
  const runs: { from: number; to: number; shift: number; partIds: Set<string>; sure: number }[] = [];
  votes.forEach((vote, bar) => {
    const run = runs.at(-1);
    if (typeof vote.shift !== 'number') {
      if (run !== undefined) run.to = bar;
    } else if (run?.shift === vote.shift) {
      run.to = bar;
      run.sure++;
      for (const id of vote.partIds) run.partIds.add(id);
    } else
      runs.push({
        from: runs.length === 0 ? 0 : bar,
        to: bar,
        shift: vote.shift,
        partIds: new Set(vote.partIds),
        sure: 1,
      });
  });
  const pitchedCount = pitched.length;
  const isWhole = ({ sure, partIds }: (typeof runs)[number]): boolean =>
    sure >= LEAST_BARS && partIds.size >= Math.min(LEAST_PARTS, pitchedCount);
  const stayed = runs.filter((run) => run.shift === 0).reduce((sum, run) => sum + run.sure, 0);
  const moved = runs.filter((run) => run.shift !== 0 && isWhole(run));
  const sure = runs.reduce((sum, run) => sum + run.sure, 0);
  const [first] = moved;
  if (first === undefined) return { semitones: 0, shifted: [], ofBar: none };
  const alike = moved.filter(({ shift }) => shift === first.shift).reduce((sum, run) => sum + run.sure, 0);
  const partIds = new Set(moved.flatMap((run) => [...run.partIds]));
  if (stayed < LEAST_BARS && alike > 0.8 * sure) {
    // A single part that moved by octaves moved on its own.
    const isPiece = partIds.size > 1 || first.shift % 12 !== 0;
    return isPiece
      ? { semitones: first.shift, shifted: [], ofBar: bars.map(() => first.shift) }
      : { semitones: 0, shifted: [], ofBar: none };
  }
  const stretches = moved.filter(
    (run) => run.partIds.size >= LEAST_PARTS || (pitchedCount === 1 && run.shift % 12 !== 0),
  );
  const ofBar = bars.map((_, bar) => stretches.find(({ from, to }) => bar >= from && bar <= to)?.shift ?? 0);
  return {
    semitones: 0,
    shifted: stretches.map(({ from, to, shift }) => ({
      from: bars[from]?.number ?? 0,
      to: bars[to]?.number ?? 0,
      semitones: shift,
    })),
    ofBar,
  };
}
