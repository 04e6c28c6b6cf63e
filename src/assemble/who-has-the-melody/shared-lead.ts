/**
 * Who plays the tune along with its leader, at the unison or octaves apart: their sum is the foreground. Looked for bar by bar
 * in the notes as played, before there is a grid, so that onsets are compared with the lateness of each part taken out.
 */
import type { ForegroundSpan, Part, PlayedNote, SharedLead } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';

/** Both must hold: so much of what the part plays is in the tune, and so much of the tune is in the part (as for doublings). */
const WITHIN_TUNE = 0.75;
const OF_TUNE = 0.6;
const FEWEST_NOTES = 3;
/** Onsets of two players together to a click: 10 to 20 ms of scatter each, ensembles up to 50 ms (Rasch 1979, from memory). */
const TOGETHER_SECONDS = 0.09;
/** Beyond two octaves nobody hears one line. */
const MOST_OCTAVES = 2;
/** Notes of one part closer than this are a chord. */
const CHORD_SECONDS = 0.05;

export interface LeadPart {
  readonly id: string;
  readonly notes: readonly PlayedNote[];
  readonly unpitched: boolean;
  /** Seconds by which the part is late as a whole. */
  readonly lateSeconds: number;
}

/** A part as it is compared with a tune. */
export function leadPartOf({ id, notes, unpitched, latenessMs }: Part): LeadPart {
  return { id, notes, unpitched, lateSeconds: latenessMs.median / 1000 };
}

type NotesByBar = readonly (readonly PlayedNote[])[];

function notesByBar(notes: readonly PlayedNote[], bars: readonly Bar[]): NotesByBar {
  const byBar = bars.map((): PlayedNote[] => []);
  for (const note of notes) byBar[barIndexAt(bars, note.startQuarters)]?.push(note);
  return byBar;
}

/** The notes of each bar with those of the bars beside it. */
function withNeighbours(byBar: NotesByBar): NotesByBar {
  return byBar.map((notes, bar) => [...(byBar[bar - 1] ?? []), ...notes, ...(byBar[bar + 1] ?? [])]);
}

/** The highest note of what starts together. */
function topOf(notes: readonly PlayedNote[]): readonly PlayedNote[] {
  const tops: PlayedNote[] = [];
  for (const note of notes) {
    const last = tops.at(-1);
    if (last === undefined || note.startSecond - last.startSecond > CHORD_SECONDS) tops.push(note);
    else if (note.midi > last.midi) tops[tops.length - 1] = note;
  }
  return tops;
}

function mostFrequent(numbers: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort(([a, many], [b, more]) => more - many || Math.abs(a) - Math.abs(b))[0]?.[0] ?? 0;
}

/** What a part has of a tune: by its own notes how many octaves from the tune they are, and the notes of the tune that it has. */
interface Match {
  readonly octaves: ReadonlyMap<PlayedNote, number>;
  readonly found: ReadonlySet<PlayedNote>;
}

/** Note for note by when they are played: a note that one of two players brings before the bar line belongs to that of the other behind it. */
function matchOf(tune: readonly PlayedNote[], own: readonly PlayedNote[], lateSeconds: number): Match {
  const octaves = new Map<PlayedNote, number>();
  const found = new Set<PlayedNote>();
  let first = 0;
  for (const note of own) {
    const second = note.startSecond - lateSeconds;
    while ((tune[first]?.startSecond ?? Infinity) < second - TOGETHER_SECONDS) first++;
    for (let index = first; (tune[index]?.startSecond ?? Infinity) <= second + TOGETHER_SECONDS; index++) {
      const met = tune[index];
      const apart = note.midi - (met?.midi ?? 0);
      if (met === undefined || apart % 12 !== 0 || Math.abs(apart) > 12 * MOST_OCTAVES) continue;
      octaves.set(note, apart / 12);
      found.add(met);
      break;
    }
  }
  return { octaves, found };
}

/** Whether a part has the tune in a bar, by a match. Chords have it only where they are the tune in octaves. */
function hasTune(line: readonly PlayedNote[], notes: readonly PlayedNote[], { octaves, found }: Match): boolean {
  const own = notes.filter((note) => octaves.has(note)).length;
  const shared = line.filter((note) => found.has(note)).length;
  return own >= WITHIN_TUNE * notes.length && shared >= OF_TUNE * line.length;
}

/** Whether both have the same notes in a bar and no others, by a match across its bar lines. */
function isWhole(line: readonly PlayedNote[], notes: readonly PlayedNote[], { octaves, found }: Match): boolean {
  return notes.every((note) => octaves.has(note)) && line.every((note) => found.has(note));
}

/** What one who leads plays by bars. */
interface Tune {
  readonly byBar: NotesByBar;
  readonly withNeighbours: NotesByBar;
}

function tuneOf(byBar: NotesByBar): Tune {
  const tops = byBar.map(topOf);
  return { byBar: tops, withNeighbours: withNeighbours(tops) };
}

interface OpenShare {
  readonly from: number;
  to: number;
  shared: number;
  readonly octaves: number[];
}

function sharesOf(
  span: ForegroundSpan,
  part: LeadPart,
  leader: LeadPart,
  tune: Tune,
  own: NotesByBar,
  bars: readonly Bar[],
): readonly SharedLead[] {
  const first = bars[0]?.number ?? 1;
  const late = part.lateSeconds - leader.lateSeconds;
  const lineIn = (number: number): readonly PlayedNote[] => tune.byBar[number - first] ?? [];
  const notesIn = (number: number): readonly PlayedNote[] => own[number - first] ?? [];
  const isSilent = (number: number): boolean => lineIn(number).length === 0 && notesIn(number).length === 0;
  const tuneAround = (number: number): readonly PlayedNote[] => tune.withNeighbours[number - first] ?? [];
  const notesAround = (number: number): readonly PlayedNote[] =>
    [number - 1, number, number + 1].flatMap((near) => notesIn(near));
  const plain = new Map<number, Match>();
  for (let number = span.from; number <= span.to; number++) {
    const [line, notes] = [lineIn(number), notesIn(number)];
    if (line.length === 0 || notes.length === 0) continue;
    const match = matchOf(line, notes, late);
    if (hasTune(line, notes, match)) plain.set(number, match);
  }
  // Now the one and now the other brings a note before the bar line: between bars in which it plainly has the tune, and at the end, that note is no
  // stranger; elsewhere where no other note of either is left over.
  const matchIn = (number: number): Match | undefined => {
    if (plain.has(number)) return plain.get(number);
    const [line, notes] = [lineIn(number), notesIn(number)];
    const isBetween = plain.has(number - 1) && (number === span.to || plain.has(number + 1));
    const isIt = isBetween ? hasTune : isWhole;
    const around = tuneAround(number);
    // Most bars are something else, which their own notes tell.
    if (!isIt([], notes, matchOf(around, notes, late))) return undefined;
    const match = matchOf(around, notesAround(number), late);
    return isIt(line, notes, match) ? match : undefined;
  };
  const found: OpenShare[] = [];
  let open: OpenShare | undefined;
  for (let number = span.from; number <= span.to; number++) {
    // Both hold on or rest: it goes on.
    if (isSilent(number)) continue;
    const match = matchIn(number);
    if (match === undefined) {
      open = undefined;
      continue;
    }
    if (open === undefined) {
      open = { from: number, to: number, shared: 0, octaves: [] };
      found.push(open);
    }
    open.to = number;
    open.shared += lineIn(number).filter((note) => match.found.has(note)).length;
    const octaves = notesIn(number).flatMap((note) => match.octaves.get(note) ?? []);
    if (octaves.length > 0) open.octaves.push(mostFrequent(octaves));
  }
  return found
    .filter(({ shared }) => shared >= FEWEST_NOTES)
    .map(({ from, to, octaves }) => ({ partId: part.id, from, to, octaves: mostFrequent(octaves) }));
}

/** The same spans with the parts that share the lead in each. */
export function withSharedLeads(
  spans: readonly ForegroundSpan[],
  parts: readonly LeadPart[],
  bars: readonly Bar[],
): readonly ForegroundSpan[] {
  const pitched = parts.filter((part) => !part.unpitched && part.notes.length > 0);
  const byBar = new Map(pitched.map((part) => [part.id, notesByBar(part.notes, bars)]));
  const tunes = new Map<string, Tune>();
  return spans.map((span) => {
    const leader = pitched.find(({ id }) => id === span.partId);
    if (leader === undefined) return span;
    const tune = tunes.get(leader.id) ?? tuneOf(byBar.get(leader.id) ?? []);
    tunes.set(leader.id, tune);
    const shared = pitched
      .filter((part) => part !== leader)
      .flatMap((part) => sharesOf(span, part, leader, tune, byBar.get(part.id) ?? [], bars));
    return { ...span, shared };
  });
}
