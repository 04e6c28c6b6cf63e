/**
 * Lines with a hole in them: bars in which a part is silent although its own music goes on there, as the same music of everybody shows at another
 * place of the piece; and bars in which the ground goes from under all others in the middle of a phrase. The figures are ours.
 */
import type { Part } from '../../model/music/arrangement.ts';
import type { PhraseStart } from '../../model/readings/pacing.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { LineBars } from '../lines/line-bars.ts';
import { busy, isAll, isInRhythm, isSame, lineBars, silences } from '../lines/line-bars.ts';
import { meet } from './passages.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

export interface BrokenLine {
  readonly part: Part;
  /** Silent bars, by index. */
  readonly from: number;
  readonly to: number;
  readonly kind: 'gap' | 'late' | 'early-end' | 'bass' | 'tune' | 'after-others';
  /** True where drums play on while the ground is gone: who goes with them elsewhere is not left out by design. */
  readonly withDrums?: boolean;
  /** Those with whom the part should have come in. */
  readonly withOthers?: readonly Part[];
  /** The bar, by index, at which the same music of all has the part; the ground has none. */
  readonly like?: number;
}

/** A longer silence is how the part is scored. */
const LONGEST_GAP = 4;
/** Who comes in or leaves so many bars beside the other time was put down wrong; more is another scoring. */
const MOST_BESIDE = 2;
/** Nearer music is a figure that goes on, not the same passage again. */
const LEAST_DISTANCE = 4;
/** So many of the other parts have the same music, two of them at least. */
const OTHERS_SHARE = 0.7;
const FEWEST_OTHERS = 2;
/**
 * A ground: the lowest in so many of its bars, there in so many of those others in which three others play (or two with chords), with a fourth between it and who is left; so
 * many of those stay where it goes and comes.
 */
const LOWEST_SHARE = 0.7;
const THERE_SHARE = 0.8;
/** While drums go on through a hole that ends within a phrase, so many: others rest or come in beside the bass, and no stop was meant. */
const STAY_SHARE = 0.5;
const FEWEST_OVER_BASS = 3;
/** Two of whom one plays chords are as many as three: so many pitches begin in the bar. */
const FEWEST_PITCHES = 4;
const GROUND_GAP = 5;
/** A whole phrase without ground is scored so, unless the drums go on and more than an octave opens between it and who is left. */
const PHRASE_GAP = 13;
/** More holes than these are how the part is written. */
const HABIT_HOLES = 2;

/** Who has rested so long comes in anew, and goes along with others who has their onsets for so many bars. */
const LEAST_REST = 3;
const BARS_ALONG = 2;
/** A tune may rest after a note of so many beats. */
const LONG_BEATS = 2;

/** True where most of the others have the same music in these bars and so many bars away. */
function isReturn(lines: readonly LineBars[], own: LineBars, from: number, to: number, by: number): boolean {
  const others = lines.filter(
    (line) => line !== own && !isAll(from, to, (bar) => line.plays[bar] !== true && line.plays[bar + by] !== true),
  );
  const alike = others.filter((line) => isAll(from, to, (bar) => isSame(line, bar, bar + by)));
  return alike.length >= FEWEST_OTHERS && alike.length >= OTHERS_SHARE * others.length;
}

/** Hole of a part in a silence, seen from the same music so many bars away. */
function holeBeside(
  lines: readonly LineBars[],
  own: LineBars,
  { from, to }: Pick<BrokenLine, 'from' | 'to'>,
  by: number,
  isPhraseStart: (bar: number) => boolean,
): Omit<BrokenLine, 'part'> | undefined {
  const plays = (bar: number): boolean => own.plays[bar] ?? false;
  const rests = (bar: number): boolean => own.plays[bar] === false;
  const playsThere = (first: number, last: number): boolean => isAll(first + by, last + by, plays);
  const isKept = (...around: number[]): boolean =>
    around.every((bar) => plays(bar) && plays(bar + by) && isSame(own, bar, bar + by));
  const told = (kind: BrokenLine['kind'], first: number, last: number): Omit<BrokenLine, 'part'> | undefined =>
    playsThere(first, last) && isReturn(lines, own, first, last, by)
      ? { from: first, to: last, kind, like: first + by }
      : undefined;
  // A leading to another bar may differ on one side, in the rhythm of the other time.
  const goesAlong = (bar: number): boolean => plays(bar) && plays(bar + by) && isInRhythm(own, bar, own, bar + by);
  const isFramed = goesAlong(from - 1) && goesAlong(to + 1) && (isKept(from - 1) || isKept(to + 1));
  if (to - from < LONGEST_GAP && isFramed) return told('gap', from, to);
  for (let bars = 1; bars <= MOST_BESIDE && bars <= to - from; bars++) {
    const entry = to - bars + 1;
    // Who comes in with a phrase is in his place here: the other time is the odd one.
    if (!isPhraseStart(to + 1) && isKept(to + 1, to + 2) && rests(entry - 1 + by)) {
      const late = told('late', entry, to);
      if (late !== undefined) return late;
    }
    const end = from + bars - 1;
    if (!isPhraseStart(from) && isKept(from - 1, from - 2) && rests(end + 1 + by)) {
      const early = told('early-end', from, end);
      if (early !== undefined) return early;
    }
  }
  return undefined;
}

/**
 * Holes in the ground: where the lowest part is gone for some bars that neither begin nor end with a phrase, and whoever plays with it goes on when it
 * leaves and is there already when it comes back.
 */
function groundHoles(
  lines: readonly LineBars[],
  own: LineBars,
  drums: readonly LineBars[],
  isPhraseStart: (bar: number) => boolean,
): readonly Omit<BrokenLine, 'part'>[] {
  const lowOf = ({ lows }: LineBars, bar: number): number => lows[bar] ?? 200;
  const others = lines.filter((line) => line !== own);
  const lowestOver = (bar: number): number => Math.min(200, ...others.map((line) => lowOf(line, bar)));
  const playing = own.plays.flatMap((isPlaying, bar) => (isPlaying ? [bar] : []));
  const [first, last] = [playing[0], playing.at(-1)];
  if (first === undefined || last === undefined) return [];
  const lowest = playing.filter((bar) => lowOf(own, bar) <= lowestOver(bar));
  if (lowest.length < LOWEST_SHARE * playing.length) return [];
  const isFull = (bar: number): boolean => {
    const heard = others.filter((line) => line.plays[bar] === true);
    if (heard.length >= FEWEST_OVER_BASS) return true;
    const pitches = new Set(heard.flatMap(({ content }) => [...(content[bar] ?? [])].map((one) => one.split(' ')[1])));
    return heard.length === FEWEST_OVER_BASS - 1 && pitches.size >= FEWEST_PITCHES;
  };
  const full = own.plays.flatMap((_, bar) => (bar >= first && bar <= last && isFull(bar) ? [bar] : []));
  const withGround = full.filter((bar) => own.plays[bar] === true).length;
  return silences(own).flatMap(({ from, to }) => {
    const isInside = from > first && to < last && to - from < LONGEST_GAP;
    if (!isInside || !isAll(from, to, isFull)) return [];
    const isPhrase = isPhraseStart(from) && isPhraseStart(to + 1);
    const withDrums = drums.some((line) => isAll(from - 1, to + 1, (bar) => line.plays[bar] === true));
    if (isPhrase && !withDrums) return [];
    // In all other bars it is there.
    if (withGround < THERE_SHARE * (full.length - (to - from + 1))) return [];
    // Who goes with it, in octaves, and is silent with it has the ground too: a bassoon and the cellos over the basses.
    const isOctave = (line: LineBars, bar: number): boolean => (lowOf(line, bar) - lowOf(own, bar)) % 12 === 0;
    const goesWith = (line: LineBars): boolean =>
      isAll(from, to, (bar) => line.plays[bar] !== true) && (isOctave(line, from - 1) || isOctave(line, to + 1));
    const apart = others.filter((line) => !goesWith(line));
    // Who has a single bar there fills in.
    const staysFrom = (beside: number, within: number): boolean => {
      const further = beside + (beside - within);
      const heard = apart.filter((line) => line.plays[beside] === true && line.plays[further] !== false);
      const share = withDrums && !isPhrase ? STAY_SHARE : THERE_SHARE;
      return heard.filter((line) => line.plays[within] === true).length >= share * heard.length;
    };
    const ground = (lowOf(own, from - 1) + lowOf(own, to + 1)) / 2;
    const gap = isPhrase ? PHRASE_GAP : GROUND_GAP;
    const isBare = isAll(from, to, (bar) => lowestOver(bar) >= ground + gap);
    if (!isBare || !staysFrom(from - 1, from) || !staysFrom(to + 1, to)) return [];
    return [{ from, to, kind: 'bass' as const, ...(withDrums ? { withDrums } : {}) }];
  });
}

/**
 * Holes in the tune: a bar or two in which who leads before and after is silent, the line running to the bar line in short notes and going on at another,
 * and nobody else does more than before.
 */
function tuneHoles(
  lines: readonly LineBars[],
  own: LineBars,
  { notes }: PlacedPart,
  bars: readonly Bar[],
  leaderOf: (bar: number) => string | undefined,
): readonly Omit<BrokenLine, 'part'>[] {
  const isLeader = (bar: number): boolean => leaderOf(bar) === own.part.id;
  const inside = silences(own).filter(({ from, to }) => isLeader(from - 1) && isLeader(to + 1));
  return inside.flatMap(({ from, to }) => {
    const [start, end] = [bars[from]?.startQuarters ?? 0, bars[to + 1]?.startQuarters ?? 0];
    const beat = pulseQuarters(bars[from]?.meter ?? { numerator: 4, denominator: 4 });
    const last = notes.findLast((note) => note.startQuarters < start - 1e-6);
    const next = notes.find((note) => note.startQuarters >= end - 1e-6);
    if (last === undefined || next === undefined || to - from + 1 > MOST_BESIDE) return [];
    const runsUp = last.endQuarters >= start - beat / 2 && last.endQuarters - last.startQuarters < LONG_BEATS * beat;
    if (!runsUp || next.startQuarters > end + beat / 2 || !isLeader(from - 2)) return [];
    const others = lines.filter((line) => line !== own);
    const usual = (line: LineBars): number => Math.max(busy(line, from - 1), busy(line, from - 2));
    const isQuiet = others.every((line) => isAll(from, to, (bar) => busy(line, bar) <= usual(line) + 1));
    return isQuiet && others.some((line) => isAll(from, to, (bar) => line.plays[bar] === true))
      ? [{ from, to, kind: 'tune' as const }]
      : [];
  });
}

/**
 * Entries a bar after those of the same family that came in with the phrase, from then on in their rhythm. An imitation has the rhythm of who came
 * before it, a bar later.
 */
function entriesAfterOthers(
  lines: readonly LineBars[],
  own: LineBars,
  isPhraseStart: (bar: number) => boolean,
): readonly Omit<BrokenLine, 'part'>[] {
  const goesAlong = (line: LineBars, entry: number): boolean =>
    isAll(entry, entry + BARS_ALONG - 1, (bar) => own.plays[bar] === true && isInRhythm(line, bar, own, bar));
  return silences(own).flatMap(({ from, to }) => {
    const entry = to + 1;
    if (to - from + 1 < LEAST_REST || isPhraseStart(entry) || !isPhraseStart(to)) return [];
    const restsBefore = (line: LineBars): boolean =>
      isAll(Math.max(0, to - LEAST_REST + 1), to - 1, (bar) => line.plays[bar] !== true);
    const before = lines.filter(
      (line) => line !== own && line.part.family === own.part.family && line.plays[to] === true && restsBefore(line),
    );
    const along = before.filter((line) => goesAlong(line, entry));
    return along.length > 0
      ? [{ from: to, to, kind: 'after-others' as const, withOthers: along.map(({ part }) => part) }]
      : [];
  });
}

/** Holes of all parts with pitch. A part with more than two is written so, as are two with the same; they are left out. */
export function brokenLines(
  placed: readonly PlacedPart[],
  bars: readonly Bar[],
  phrases: readonly PhraseStart[],
  leaderOf: (bar: number) => string | undefined,
): readonly BrokenLine[] {
  const pitched = placed.filter(({ part }) => !part.unpitched);
  const lines = pitched.map((each) => lineBars(each, bars));
  const drums = placed.filter(({ part }) => part.unpitched).map((each) => lineBars(each, bars));
  const starts = new Set(phrases.filter(({ by }) => by !== 'melody').map(({ bar }) => bar));
  const isPhraseStart = (bar: number): boolean => starts.has(bars[bar]?.number ?? -1);
  const distances = bars.slice(LEAST_DISTANCE).flatMap((_, by) => [-by - LEAST_DISTANCE, by + LEAST_DISTANCE]);
  const all = pitched.flatMap((each, index): BrokenLine[] => {
    const own = lines[index];
    if (own === undefined) return [];
    const returning = silences(own).flatMap((run) => {
      // A phrase that is left out as a whole is left out on purpose.
      if (isPhraseStart(run.from) && isPhraseStart(run.to + 1) && run.to - run.from + 1 >= LONGEST_GAP) return [];
      for (const by of distances) {
        const hole = holeBeside(lines, own, run, by, isPhraseStart);
        if (hole !== undefined) return [hole];
      }
      return [];
    });
    const further = [
      ...groundHoles(lines, own, drums, isPhraseStart),
      ...tuneHoles(lines, own, each, bars, leaderOf),
      ...entriesAfterOthers(lines, own, isPhraseStart),
    ];
    const holes = [...returning, ...further.filter((hole) => !returning.some((other) => meet(other, hole)))];
    return holes.length > HABIT_HOLES ? [] : holes.map((hole) => ({ part: own.part, ...hole }));
  });
  // What two parts do together is how they are scored.
  return all.filter((hole) => !all.some((other) => other.part !== hole.part && meet(other, hole)));
}
