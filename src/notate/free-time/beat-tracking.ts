/**
 * Beats that are felt in playing without a click. Moments weigh by how many notes begin, how long they last, how low and how loud they are (after
 * S. Dixon, Automatic extraction of tempo and beat from expressive performances, Journal of New Music Research 30(1), 2001); a path of beats from
 * moment to moment is sought by dynamic programming (after D. Ellis, Beat tracking by dynamic programming, JNMR 36(1), 2007), here with a beat that
 * may change from one to the next, at a price, and with a price for what begins between two beats where no half, third or quarter of them is.
 * All prices are ours, set on songs played freely by a seeded machine.
 */

/** Something that begins: notes struck together. */
interface Moment {
  readonly second: number;
  /** How much it stands out, 1 in the mean. */
  readonly weight: number;
}

/** What is needed of a note. */
export interface HeardNote {
  readonly midi: number;
  readonly velocity: number;
  readonly startSecond: number;
  readonly endSecond: number;
}

export interface BeatPath {
  /** Seconds of the beats, rising. */
  readonly beats: readonly number[];
  /** Median seconds from beat to beat. */
  readonly period: number;
  /** Price of the path for each moment that it spans: the lower, the better the music keeps to the beats. */
  readonly price: number;
  /** That price as a share of what the same distances cost in an order of chance: 1 for random playing. */
  readonly overChance: number;
  /** Share of the beats on which something begins. */
  readonly struck: number;
}

type FoundPath = Omit<BeatPath, 'overChance'>;

/** Notes of a chord are struck within this (Goebl: asynchronies of pianists lie within some 30 ms; a little more for players who follow one another). */
const TOGETHER_SECONDS = 0.05;
const SPREAD_SECONDS = 0.08;
const MOST_MOMENTS = 4000;
/** Periods that are tried: 40 to 200 beats a minute. */
const SHORTEST_BEAT = 0.3;
const LONGEST_BEAT = 1.5;
const TRIES_AN_OCTAVE = 3;
/** How far a beat may lie from the one that is tried, as a factor. */
const FARTHEST = 1.6;
/** A long note may cover so many beats. */
const MOST_COVERED = 4;
/** A way that is dearer than the cheapest by this is not followed further. */
const WITHIN = 10;
/** What is felt most easily as a beat (R. Parncutt, A perceptual model of pulse salience, Music Perception 11(4), 1994: about 0.7 s). */
const FELT_SECONDS = 0.7;

const PRICES = {
  beat: 1.1,
  covered: 0.55,
  change: 40,
  mostChange: 4,
  drift: 1.2,
  weight: 0.9,
  half: 0.5,
  quarter: 1.1,
  third: 1.5,
  elsewhere: 3.2,
  spread: 0.035,
} as const;

/** Moments of all notes, sorted. */
function momentsOf(notes: readonly HeardNote[]): readonly Moment[] {
  const sorted = [...notes].sort((a, b) => a.startSecond - b.startSecond);
  const groups: HeardNote[][] = [];
  for (const note of sorted) {
    const group = groups.at(-1);
    const first = group?.[0];
    const last = group?.at(-1);
    const isTogether =
      first !== undefined &&
      last !== undefined &&
      note.startSecond - last.startSecond <= TOGETHER_SECONDS &&
      note.startSecond - first.startSecond <= SPREAD_SECONDS;
    if (isTogether) group?.push(note);
    else groups.push([note]);
  }
  const raw = groups.map((group) => {
    const seconds = group.map(({ startSecond }) => startSecond);
    const longest = Math.max(...group.map(({ startSecond, endSecond }) => endSecond - startSecond));
    const lowest = Math.min(...group.map(({ midi }) => midi));
    const loudest = Math.max(...group.map(({ velocity }) => velocity));
    return {
      second: seconds.reduce((sum, second) => sum + second, 0) / seconds.length,
      weight:
        0.5 * Math.log2(1 + group.length) + Math.min(1.2, longest) + Math.max(0, (60 - lowest) / 24) + loudest / 127,
    };
  });
  const mean = raw.reduce((sum, { weight }) => sum + weight, 0) / Math.max(1, raw.length);
  return raw.map(({ second, weight }) => ({ second, weight: weight / (mean || 1) }));
}

/** The price of something that begins at this part (0..1) of a beat of `seconds`. */
function placePrice(phase: number, seconds: number): number {
  const off = (place: number): number => (((phase - place) * seconds) / PRICES.spread) ** 2 / 2;
  return Math.min(
    PRICES.elsewhere,
    PRICES.half + off(0.5),
    PRICES.quarter + Math.min(off(0.25), off(0.75)),
    PRICES.third + Math.min(off(1 / 3), off(2 / 3)),
  );
}

interface Link {
  readonly from: number;
  readonly to: number;
  readonly beats: number;
  /** log2 of the seconds from beat to beat. */
  readonly octave: number;
  readonly seconds: number;
  /** Of its beats and of what begins between them. */
  readonly price: number;
}

/** What begins within one beat is some five sounds at most where it is to be heard as one. */
const DEAREST_BEAT = 9;

/** All ways from a moment to a later one by one to four beats near `tried` seconds, with the price of what lies between. */
function linksFrom(moments: readonly Moment[], from: number, tried: number): Link[] {
  const links: Link[] = [];
  const start = moments[from]?.second ?? 0;
  for (let to = from + 1; to < moments.length; to++) {
    const whole = (moments[to]?.second ?? 0) - start;
    if (whole > MOST_COVERED * tried * FARTHEST) break;
    const first = Math.max(1, Math.ceil(whole / (tried * FARTHEST)));
    const most = Math.min(MOST_COVERED, Math.floor((whole * FARTHEST) / tried));
    for (let beats = first; beats <= most; beats++) {
      const seconds = whole / beats;
      let price =
        beats * PRICES.beat +
        (beats - 1) * PRICES.covered -
        PRICES.weight * (moments[to]?.weight ?? 0) +
        PRICES.drift * Math.log2(seconds / tried) ** 2;
      const dearest = price + beats * DEAREST_BEAT;
      for (let between = from + 1; between < to && price <= dearest; between++) {
        const place = ((moments[between]?.second ?? 0) - start) / seconds;
        const phase = place - Math.floor(place);
        // On a beat that the link passes over, something would begin: that is what the beats of this link are not.
        price +=
          Math.min(phase, 1 - phase) * seconds < PRICES.spread ? PRICES.elsewhere / 2 : placePrice(phase, seconds);
      }
      if (price <= dearest) links.push({ from, to, beats, octave: Math.log2(seconds), seconds, price });
    }
  }
  return links;
}

function changePrice(before: number, after: number): number {
  return Math.min(PRICES.mostChange, PRICES.change * (after - before) ** 2);
}

/** The cheapest path of beats near `tried` seconds through all moments but the first and last few. */
function pathAt(moments: readonly Moment[], tried: number): FoundPath | undefined {
  const links: Link[] = [];
  const total: number[] = [];
  const previous: number[] = [];
  const arriving: number[][] = moments.map(() => []);
  for (let from = 0; from < moments.length; from++) {
    // What stands before the first beat, or after the last, is paid for as something in no place.
    const alone = from * PRICES.elsewhere;
    const known = arriving[from] ?? [];
    const cheapest = Math.min(alone, ...known.map((index) => total[index] ?? 0));
    const before = known.filter((index) => (total[index] ?? 0) <= cheapest + WITHIN);
    for (const link of linksFrom(moments, from, tried)) {
      let least = alone;
      let best = -1;
      for (const index of before) {
        const price = (total[index] ?? 0) + changePrice(links[index]?.octave ?? 0, link.octave);
        if (price >= least) continue;
        least = price;
        best = index;
      }
      arriving[link.to]?.push(links.length);
      links.push(link);
      total.push(least + link.price);
      previous.push(best);
    }
  }
  let last = -1;
  let least = Number.POSITIVE_INFINITY;
  for (const [index, link] of links.entries()) {
    const price = (total[index] ?? 0) + (moments.length - 1 - link.to) * PRICES.elsewhere;
    if (price < least) {
      least = price;
      last = index;
    }
  }
  if (last < 0) return undefined;
  const beats: number[] = [moments[links[last]?.to ?? 0]?.second ?? 0];
  let struck = 1;
  for (let index = last; index >= 0; index = previous[index] ?? -1) {
    const link = links[index];
    if (link === undefined) break;
    const start = moments[link.from]?.second ?? 0;
    for (let beat = link.beats - 1; beat >= 0; beat--) beats.push(start + beat * link.seconds);
    struck++;
  }
  beats.reverse();
  const steps = beats.slice(1).map((second, index) => second - (beats[index] ?? 0));
  const period = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? tried;
  const felt = 0.25 * Math.log2(period / FELT_SECONDS) ** 2;
  return { beats, period, price: least / moments.length + felt, struck: struck / beats.length };
}

/** The cheapest path of all periods that are tried. */
function bestPath(moments: readonly Moment[]): FoundPath | undefined {
  let best: FoundPath | undefined;
  const tries = Math.round(TRIES_AN_OCTAVE * Math.log2(LONGEST_BEAT / SHORTEST_BEAT));
  for (let index = 0; index <= tries; index++) {
    const path = pathAt(moments, SHORTEST_BEAT * 2 ** (index / TRIES_AN_OCTAVE));
    if (path !== undefined && (best === undefined || path.price < best.price)) best = path;
  }
  return best;
}

/** The same moments with their distances in another order, the same for the same music (a linear congruential generator of our own). */
function shuffled(moments: readonly Moment[]): readonly Moment[] {
  const steps = moments.slice(1).map(({ second }, index) => second - (moments[index]?.second ?? 0));
  let state = 12345;
  for (let index = steps.length - 1; index > 0; index--) {
    state = (state * 1103515245 + 12345) % 2147483648;
    const other = Math.floor((state / 2147483648) * (index + 1));
    [steps[index], steps[other]] = [steps[other] ?? 0, steps[index] ?? 0];
  }
  let second = moments[0]?.second ?? 0;
  return moments.map((moment, index) => {
    if (index > 0) second += steps[index - 1] ?? 0;
    return { second, weight: moment.weight };
  });
}

/** The path of beats that the notes keep to best; undefined where fewer than two moments or too many. */
export function trackBeats(notes: readonly HeardNote[]): BeatPath | undefined {
  const moments = momentsOf(notes);
  if (moments.length < 2 || moments.length > MOST_MOMENTS) return undefined;
  const best = bestPath(moments);
  const chance = bestPath(shuffled(moments));
  if (best === undefined || chance === undefined) return undefined;
  return { ...best, overChance: best.price / chance.price };
}
