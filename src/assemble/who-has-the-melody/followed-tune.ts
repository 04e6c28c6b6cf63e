/**
 * The tune of a sketch for one player, followed from stage to stage: its part leads as long as it has the tune, and who was given it leads after
 * that. A piano that had everything keeps the chords when a violin takes the tune (common practice, no source).
 */
import type { Part, PlayedNote, Stage } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { BarLead } from './lead-spans.ts';
import { saidLead } from './lead-spans.ts';

/** So much of a bar's tune is in the part that has it; and of a part that was given it, so much of its line is tune. Ours, as for doublings. */
const OF_TUNE = 0.6;
const WITHIN_TUNE = 0.6;
/** Two takes of one note stand within a dotted sixteenth of each other. */
const TOGETHER_QUARTERS = 0.2;
/** A tune is given for two bars or more; a single bar is an echo. */
const FEWEST_BARS = 2;
/** A place in which so many of the bars match is one to which the music was moved. */
const LEAST_MATCHED = 0.2;
/** No word of anybody, and plainer than a guess. */
const CERTAINTY = 0.95;

/** A note of a line, its place counted from its bar's line. */
interface LineNote {
  readonly at: number;
  readonly midi: number;
}

type Line = readonly LineNote[];

/** The line on top in each bar: no note that begins while a higher one sounds, as the chords under a tune do. */
function topLines(notes: readonly PlayedNote[], bars: readonly Bar[]): readonly Line[] {
  const lines = bars.map((): LineNote[] => []);
  const sorted = [...notes].sort((one, other) => one.startQuarters - other.startQuarters || other.midi - one.midi);
  let held: PlayedNote[] = [];
  for (const [place, note] of sorted.entries()) {
    const { startQuarters: start, midi } = note;
    held = held.filter(({ endQuarters }) => endQuarters > start + TOGETHER_QUARTERS);
    let isTop = held.every((other) => other.midi <= midi);
    for (let next = place + 1; isTop; next++) {
      const other = sorted[next];
      if (other === undefined || other.startQuarters > start + TOGETHER_QUARTERS / 2) break;
      isTop = other.midi <= midi;
    }
    held.push(note);
    if (!isTop) continue;
    // What is played a little before a bar line stands behind it.
    const bar = barIndexAt(bars, start + TOGETHER_QUARTERS / 2);
    lines[bar]?.push({ at: start - (bars[bar]?.startQuarters ?? 0), midi });
  }
  return lines;
}

/** How many notes of a line are in another, in any octave: one pitch for another at about the same place. */
function countIn(line: Line, other: Line): number {
  return line.filter(({ at, midi }) =>
    other.some((note) => Math.abs(note.at - at) <= TOGETHER_QUARTERS && (note.midi - midi) % 12 === 0),
  ).length;
}

const shareOf = (line: Line, other: Line): number => (line.length === 0 ? 0 : countIn(line, other) / line.length);

/** Music is moved by so many bars at most, as far as is looked; where it also stands in another key, by fewer. */
const MOST_MOVED = 32;
const MOST_MOVED_TRANSPOSED = 8;
/** From the same pitch to the tritone, the nearest first. */
const TRANSPOSITIONS = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map((step) =>
  step % 2 === 0 ? -step / 2 : (step + 1) / 2,
);

interface Found {
  /** By bar index: the bar of the earlier stage whose tune is played there, -1 where none is. */
  readonly places: readonly number[];
  /** The tune by bar of the earlier stage, at the pitch in which it stands now. */
  readonly tune: readonly Line[];
}

/** The tune of the stage before among the lines of a stage: where its bars stand now, and how much higher. */
function findTune(before: readonly Line[], lines: readonly (readonly Line[])[], count: number): Found {
  const sounding = before.filter((line) => line.length > 0).length;
  for (const semitones of TRANSPOSITIONS) {
    const tune = before.map((line) => line.map(({ at, midi }): LineNote => ({ at, midi: midi + semitones })));
    const matches = (bar: number, earlier: number): boolean =>
      lines.some((own) => shareOf(tune[earlier] ?? [], own[bar] ?? []) >= OF_TUNE);
    const most = semitones === 0 ? MOST_MOVED : MOST_MOVED_TRANSPOSED;
    const shifts = Array.from({ length: 2 * most + 1 }, (_, index) => index - most).flatMap((shift) => {
      let bars = 0;
      for (let earlier = Math.max(0, -shift); earlier < tune.length && earlier + shift < count; earlier++)
        if (matches(earlier + shift, earlier)) bars++;
      return bars >= Math.max(FEWEST_BARS, LEAST_MATCHED * sounding) ? [{ shift, bars }] : [];
    });
    if (shifts.length === 0) continue;
    // A tune that comes again is like itself elsewhere too: the place where most of it stands, then the nearest.
    shifts.sort((one, other) => other.bars - one.bars || Math.abs(one.shift) - Math.abs(other.shift));
    let [current] = shifts.map(({ shift }) => shift);
    const places = Array.from({ length: count }, (_, bar) => {
      const fits = shifts.filter(({ shift }) => matches(bar, bar - shift)).map(({ shift }) => shift);
      if (fits.length > 0 && !fits.some((shift) => shift === current)) [current] = fits;
      const earlier = current === undefined ? -1 : bar - current;
      return earlier >= 0 && earlier < tune.length ? earlier : -1;
    });
    return { places, tune };
  }
  return { places: [], tune: before };
}

/** True for instruments that play chords: without the tune they accompany. */
export function playsChords(instrument: string): boolean {
  return instrumentById(instrument)?.polyphony.kind === 'polyphonic';
}

/** Who leads in each bar, undefined where the tune of the stage before tells nothing; all by index. */
export function followedLeads(
  before: Stage,
  parts: readonly Pick<Part, 'id' | 'notes' | 'unpitched' | 'instrument'>[],
  bars: readonly Bar[],
): readonly (BarLead | undefined)[] {
  const earlier = before.timeline.bars;
  const leaders = earlier.map(
    ({ number }) => before.foreground.find(({ from, to, weak }) => from <= number && number <= to && !weak)?.partId,
  );
  const own = new Map(
    before.parts.flatMap(({ id, notes }) => (leaders.includes(id) ? [[id, topLines(notes, earlier)] as const] : [])),
  );
  const pitched = parts.filter(({ unpitched, notes }) => !unpitched && notes.length > 0);
  const lines = new Map(pitched.map(({ id, notes }) => [id, topLines(notes, bars)]));
  const { places, tune } = findTune(
    earlier.map((_, bar): Line => own.get(leaders[bar] ?? '')?.[bar] ?? []),
    [...lines.values()],
    bars.length,
  );
  let holder: string | undefined = leaders[0];
  let held = FEWEST_BARS;
  const holders = bars.map((_, bar): string | undefined => {
    const line = tune[places[bar] ?? -1] ?? [];
    const leader = leaders[places[bar] ?? -1];
    if (line.length === 0 || leader === undefined) return undefined;
    const having = pitched
      .map(({ id }) => {
        const played = lines.get(id)?.[bar] ?? [];
        return { id, of: shareOf(line, played), within: shareOf(played, line) };
      })
      .filter(({ id, of, within }) => of >= OF_TUNE && (id === leader || within >= WITHIN_TUNE))
      .sort((one, other) => other.of - one.of || other.within - one.within);
    // Who has it goes on with it; a single long note may be in the chords of who had it.
    const plainly = having.filter(({ within }) => within >= WITHIN_TUNE);
    const some = plainly.length > 0 ? plainly : having;
    const byOthers = some.find(({ id }) => id !== leader)?.id;
    const isByChance = holder === leader && held < FEWEST_BARS;
    const inTurn = isByChance ? [byOthers, holder] : [holder, holder === leader ? leader : byOthers, leader];
    const goesOn = inTurn.find((id) => some.some((part) => part.id === id));
    const now = goesOn ?? some[0]?.id;
    held = now === holder ? held + 1 : 1;
    holder = now;
    return holder;
  });
  return joined(holders, places, leaders, pitched);
}

/** Bars between two of one holder are its own, and so is a single bar of the accompaniment in between: a long note of the tune may be in its chords. */
function joined(
  holders: readonly (string | undefined)[],
  places: readonly number[],
  leaders: readonly (string | undefined)[],
  parts: readonly Pick<Part, 'id' | 'instrument'>[],
): readonly (BarLead | undefined)[] {
  const chords = new Set(parts.filter(({ instrument }) => playsChords(instrument)).map(({ id }) => id));
  const filled = holders.map((holder, bar) => {
    const [last, next] = [holders[bar - 1], holders[bar + 1]];
    const isBetween = last !== undefined && next !== undefined && last !== holder && next !== holder;
    return holder !== undefined && chords.has(holder) && isBetween ? last : holder;
  });
  let last = -1;
  [...filled].forEach((holder, bar) => {
    if (holder === undefined) return;
    if (last >= 0 && filled[last] === holder) filled.fill(holder, last, bar);
    last = bar;
  });
  return filled.map((holder, bar): BarLead | undefined => {
    const leader = leaders[places[bar] ?? -1];
    if (holder !== undefined && holder !== leader) {
      const isRun = filled[bar - 1] === holder || filled[bar + 1] === holder;
      if (isRun) return { partId: holder, certainty: CERTAINTY };
    } else if (holder !== undefined) return saidLead(holder);
    // Who plays one line alone goes on with it, rewritten or not.
    return leader === undefined || chords.has(leader) ? undefined : saidLead(leader);
  });
}
