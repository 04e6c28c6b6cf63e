/**
 * Which staff of a two-staff instrument a note belongs to. Tracks named for hands decide; else a split pitch moves along with the music
 * (Viterbi), drawn to the midpoint between the running means of the highest and lowest notes, and kept from tearing a line or from
 * filling a hand that holds keys while the other is free.
 */
import { onceEach } from '../../model/once-each.ts';
import catalogue from '../../../shared/instruments.json' with { type: 'json' };
import type { Part, PlayedNote } from '../../model/music/arrangement.ts';
import type { Slice } from './hand-lines.ts';
import { staffOfFigures, staffOfLines } from './hand-lines.ts';

const TWO_STAFF = new Set(
  catalogue.instruments
    .filter(
      (instrument) =>
        instrument.polyphony.kind === 'polyphonic' &&
        (instrument.clefs as readonly string[]).includes('treble') &&
        (instrument.clefs as readonly string[]).includes('bass'),
    )
    .map((instrument) => instrument.id),
);

const RIGHT = /\b(r\.?h\.?|right|rechte?|rechts|droite|m\.?d\.?|destra|upper|treble)\b/i;
const LEFT = /\b(l\.?h\.?|left|linke?|links|gauche|m\.?g\.?|sinistra|m\.?s\.?|lower|bass)\b/i;

/** The lowest key on the right of an accordion, and how far its hand reaches (common practice, no source). */
const ACCORDION_FROM = 53;
const ACCORDION_REACH = 14;
/** Lowest note of equal voices (E3: altos of a children's or women's choir go no lower; common practice, no source). */
const EQUAL_VOICES_FROM = 52;
/** Notes that begin within so many seconds are struck or sung together. */
const TOGETHER_SECONDS = 0.06;

/** A choir in one or two equal voices, which share a treble staff. */
const areEqualVoices = onceEach(({ notes }: Part): boolean => {
  if (notes.length === 0) return false;
  const starts = notes.map(({ startSecond }) => startSecond).sort((a, b) => a - b);
  const isThird = (start: number, index: number): boolean =>
    start - (starts[index - 2] ?? -Infinity) < TOGETHER_SECONDS;
  return notes.every(({ midi }) => midi >= EQUAL_VOICES_FROM) && !starts.some(isThird);
});

/** The right hand of an accordion or bandoneon alone: its part in a band or an accordion orchestra is one treble staff. */
const isRightHandAlone = onceEach(({ notes }: Part): boolean => {
  if (notes.length === 0 || notes.some(({ midi }) => midi < ACCORDION_FROM)) return false;
  const sorted = [...notes].sort((a, b) => a.startSecond - b.startSecond);
  return sorted.every(({ midi, startSecond }, index) => {
    for (let at = index + 1; (sorted[at]?.startSecond ?? Infinity) - startSecond < TOGETHER_SECONDS; at++) {
      if (Math.abs((sorted[at]?.midi ?? midi) - midi) > ACCORDION_REACH) return false;
    }
    return true;
  });
});

/**
 * Whether a part is written on two staves: keyboards, harp and others that the catalogue gives a treble and a bass clef together; not a
 * choir of one or two equal voices, nor an accordion of which only the right hand plays.
 */
export function hasTwoStaves(part: Part): boolean {
  if (part.instrument === 'accordion') return !isRightHandAlone(part);
  if (part.family === 'keyboard') return true;
  if (!TWO_STAFF.has(part.instrument)) return false;
  return part.family !== 'voice' || !areEqualVoices(part);
}

/** 1 or 2 by track index, where the part's tracks are hands; undefined where they do not tell. */
function staffByTrack(part: Part): readonly number[] | undefined {
  if (part.tracks.length < 2) return undefined;
  const named = part.tracks.map((track) => {
    const right = RIGHT.test(track.name);
    const left = LEFT.test(track.name);
    return right === left ? 0 : right ? 1 : 2;
  });
  if (named.includes(1) && named.includes(2) && !named.includes(0)) return named;
  // Two tracks of one keyboard without articulation words, clearly one above the other, are its hands.
  if (part.tracks.length !== 2 || part.tracks.some((track) => track.articulation !== '')) return undefined;
  const sums = [0, 0];
  const counts = [0, 0];
  for (const note of part.notes) {
    sums[note.trackIndex] = (sums[note.trackIndex] ?? 0) + note.midi;
    counts[note.trackIndex] = (counts[note.trackIndex] ?? 0) + 1;
  }
  const first = (sums[0] ?? 0) / Math.max(1, counts[0] ?? 0);
  const second = (sums[1] ?? 0) / Math.max(1, counts[1] ?? 0);
  if ((counts[0] ?? 0) === 0 || (counts[1] ?? 0) === 0 || Math.abs(first - second) < 7) return undefined;
  return first > second ? [1, 2] : [2, 1];
}

const LOWEST_SPLIT = 36;
const SPLITS = 54;
const OCTAVE = 12;
const MOST_NOTES = 5;
const BEYOND_OCTAVE = 0.5;
const BEYOND_FIVE = 2;
const NEARNESS = 0.4;
const AWAY_FROM_CENTRE = 0.1;
const MOVED = 0.25;
/** For each onset: a line torn between the hands, and new keys given to a hand that is holding others while one is free. */
const TORN = 0.7;
const BUSY = 0.7;
/** A left hand often keeps a bass down under its figure. */
const BUSY_LEFT = 0.5;
/**
 * For each key beyond one that a hand has more of a chord than the other: of a chord that both can halve within an octave each takes about as
 * many, but a tune that is alone by a fifth over it (common practice, no source).
 */
const UNEVEN = 1;
const FEWEST_TO_SHARE = 4;
const TUNE_ABOVE = 7;
/** And a chord that one hand could take torn, so that the other keeps a key of it down while it strikes others. */
const TANGLED = 2;
/** For each semitone by which the middle of what the left hand strikes alone lies above middle C, or what the right hand does below A flat 3. */
const ALONE = 0.2;
const HIGH_FOR_LEFT = 60;
const LOW_FOR_RIGHT = 56;
/** Half the window of the running means, in divisions (two quarters). */
const WINDOW = 960;
/** Keys struck within so much of one another show how far the hands reach, in divisions (a quarter). */
const REACH = 480;

/** A key let go this close to an onset was left for it, in quarters. */
const LEFT_FOR = 0.2;
/** So was one of the onset before, let go earlier but no longer ago than this: who detaches notes still has one hand. */
const LEFT_EARLY = 2;
/** Widest step, in semitones, that counts as a line of one hand. */
const HAND_MOVE = 9;

/** Whether each hand can take half of these keys (highest first) within an octave. */
function canHalve(midis: readonly number[]): boolean {
  if (midis.length < FEWEST_TO_SHARE) return false;
  const reach = (from: number, to: number): number => (midis[from] ?? 0) - (midis[to] ?? 0);
  return [Math.floor(midis.length / 2), Math.ceil(midis.length / 2)].some(
    (right) => reach(0, right - 1) <= OCTAVE && reach(right, midis.length - 1) <= OCTAVE,
  );
}

function slicesOf(part: Part, onsets: readonly number[]): Slice[] {
  const byOnset = new Map<number, number[]>();
  for (const index of part.notes.keys()) {
    const onset = onsets[index] ?? 0;
    const known = byOnset.get(onset);
    if (known === undefined) byOnset.set(onset, [index]);
    else known.push(index);
  }
  let down: PlayedNote[] = [];
  let latest: readonly PlayedNote[] = [];
  const struck = [...byOnset.entries()]
    .sort((a, b) => a[0] - b[0])
    .map(([onset, indices]) => {
      const notes = indices.flatMap((index) => part.notes[index] ?? []);
      const at = notes[0]?.startQuarters ?? 0;
      // Which key of a chord came down first is chance.
      notes.sort((a, b) => b.midi - a.midi);
      const left = [...new Set([...down, ...latest])].filter(
        (note) =>
          note.endQuarters <= at + LEFT_FOR &&
          (note.endQuarters >= at - LEFT_FOR || (latest.includes(note) && note.endQuarters >= at - LEFT_EARLY)),
      );
      const held = down.filter((note) => note.endQuarters > at + LEFT_FOR);
      const moves = notes.flatMap((note) => {
        const nearest = left.reduce<PlayedNote | undefined>(
          (best, other) =>
            best === undefined || Math.abs(other.midi - note.midi) < Math.abs(best.midi - note.midi) ? other : best,
          undefined,
        );
        return nearest === undefined || Math.abs(nearest.midi - note.midi) > HAND_MOVE
          ? []
          : [[note.midi, nearest.midi] as const];
      });
      down = [...down.filter((note) => note.endQuarters > at - LEFT_FOR), ...notes];
      latest = notes;
      const end = Math.min(...notes.map((note) => note.endQuarters)) - LEFT_FOR;
      const midis = notes.map((note) => note.midi);
      return { onset, at, end, midis, moves, held: held.map((note) => note.midi) };
    });
  const during = struck.map(({ end }, index) => {
    const keys: number[] = [];
    for (let next = index + 1; (struck[next]?.at ?? Infinity) < end; next++) keys.push(...(struck[next]?.midis ?? []));
    return keys;
  });
  const chords = struck.map(({ midis }) => midis.join());
  return struck.map(({ onset, midis, moves, held }, index) => {
    const keys = new Set(during[index]);
    for (const way of [-1, 1]) {
      for (let at = index + way; Math.abs((struck[at]?.onset ?? Infinity) - onset) <= WINDOW; at += way) {
        // The same chord again stays in its hand.
        if (chords[at] === chords[index]) for (const key of during[at] ?? []) keys.add(key);
      }
    }
    return { onset, midis, moves, held, during: [...keys], isShared: canHalve(midis) };
  });
}

/** Highest and lowest key down around each slice: what is struck within a beat, and what is held. */
function reachesOf(slices: readonly Slice[]): { readonly high: number; readonly low: number }[] {
  const own = slices.map(({ midis, held }) => ({
    high: Math.max(...midis, ...held),
    low: Math.min(...midis, ...held),
  }));
  return slices.map(({ onset }, index) => {
    let { high, low } = own[index] ?? { high: 60, low: 60 };
    for (const way of [-1, 1]) {
      for (let at = index + way; Math.abs((slices[at]?.onset ?? Infinity) - onset) < REACH; at += way) {
        high = Math.max(high, own[at]?.high ?? high);
        low = Math.min(low, own[at]?.low ?? low);
      }
    }
    return { high, low };
  });
}

/** Midpoint of the running means of highest and lowest note within the window, slice by slice. */
function runningCentres(slices: readonly Slice[]): number[] {
  const reaches = reachesOf(slices);
  const centres: number[] = [];
  let from = 0;
  let to = 0;
  let highs = 0;
  let lows = 0;
  for (const slice of slices) {
    for (; to < slices.length && (slices[to]?.onset ?? 0) <= slice.onset + WINDOW; to++) {
      highs += reaches[to]?.high ?? 60;
      lows += reaches[to]?.low ?? 60;
    }
    for (; (slices[from]?.onset ?? 0) < slice.onset - WINDOW; from++) {
      highs -= reaches[from]?.high ?? 60;
      lows -= reaches[from]?.low ?? 60;
    }
    centres.push((highs + lows) / 2 / Math.max(1, to - from));
  }
  return centres;
}

/** Whether a chord that one hand can take is torn, and a hand that keeps some of its keys has others to strike meanwhile. */
function isTangled({ midis, during }: Slice, split: number): boolean {
  const [high = 0, low = 0] = [midis[0], midis.at(-1)];
  const isTorn = high >= split && low < split;
  return (
    isTorn &&
    during.length > 0 &&
    high - low <= OCTAVE &&
    midis.length <= MOST_NOTES &&
    (during.every((midi) => midi < low) || during.every((midi) => midi > high))
  );
}

function splitCost(slice: Slice, split: number, centre: number): number {
  const { midis, moves, held, isShared } = slice;
  let right = 0;
  let left = 0;
  let rightLow = 128;
  let rightHigh = -1;
  let leftLow = 128;
  let leftHigh = -1;
  let cost = AWAY_FROM_CENTRE * Math.abs(split - centre) + (isTangled(slice, split) ? TANGLED : 0);
  for (const midi of midis) {
    cost += NEARNESS * Math.max(0, 1 - Math.abs(midi - split + 0.5) / 4);
    if (midi >= split) {
      right++;
      rightLow = Math.min(rightLow, midi);
      rightHigh = Math.max(rightHigh, midi);
    } else {
      left++;
      leftLow = Math.min(leftLow, midi);
      leftHigh = Math.max(leftHigh, midi);
    }
  }
  if (isShared && right > 0 && left > 0 && (right > 1 || rightLow - leftHigh < TUNE_ABOVE))
    cost += UNEVEN * Math.max(0, Math.abs(right - left) - 1);
  for (const [here, before] of moves) if (here >= split !== before >= split) cost += TORN / moves.length;
  const rightHolds = held.some((midi) => midi >= split);
  const leftHolds = held.some((midi) => midi < split);
  if (right > 0 && rightHolds && !leftHolds) cost += BUSY;
  if (left > 0 && leftHolds && !rightHolds) cost += BUSY_LEFT;
  for (const midi of held) {
    if (midi >= split && right > 0) {
      rightLow = Math.min(rightLow, midi);
      rightHigh = Math.max(rightHigh, midi);
    } else if (midi < split && left > 0) {
      leftLow = Math.min(leftLow, midi);
      leftHigh = Math.max(leftHigh, midi);
    }
  }
  if (right === 0 && !rightHolds) cost += ALONE * Math.max(0, (leftLow + leftHigh) / 2 - HIGH_FOR_LEFT);
  if (left === 0 && !leftHolds) cost += ALONE * Math.max(0, LOW_FOR_RIGHT - (rightLow + rightHigh) / 2);
  if (right > 0) cost += BEYOND_OCTAVE * Math.max(0, rightHigh - rightLow - OCTAVE);
  if (left > 0) cost += BEYOND_OCTAVE * Math.max(0, leftHigh - leftLow - OCTAVE);
  return cost + BEYOND_FIVE * (Math.max(0, right - MOST_NOTES) + Math.max(0, left - MOST_NOTES));
}

/** Least cost of reaching each split when every semitone moved costs `MOVED`; linear in the number of splits. */
function spreadMoves(costs: readonly number[]): { readonly best: number[]; readonly from: number[] } {
  const best = [...costs];
  const from = costs.map((_, index) => index);
  for (let index = 1; index < best.length; index++) {
    const step = (best[index - 1] ?? 0) + MOVED;
    if (step < (best[index] ?? 0)) {
      best[index] = step;
      from[index] = from[index - 1] ?? index;
    }
  }
  for (let index = best.length - 2; index >= 0; index--) {
    const step = (best[index + 1] ?? 0) + MOVED;
    if (step < (best[index] ?? 0)) {
      best[index] = step;
      from[index] = from[index + 1] ?? index;
    }
  }
  return { best, from };
}

const PEDALS = /\bped(al|als|ale|aal|aler|es)?\b|pedal/i;

/** Which tracks of an organ are its pedals; empty where none or all of them are. */
function pedalTracks({ instrument, tracks }: Part): ReadonlySet<number> {
  if (instrument !== 'organ') return new Set();
  const pedals = tracks.flatMap(({ name }, index) => (PEDALS.test(name) ? [index] : []));
  return new Set(pedals.length === tracks.length ? [] : pedals);
}

/** As `stavesOf`, with the single strings of a harp shared between the hands; `isBeat` says of an onset whether it is on a beat. */
export function writtenStavesOf(part: Part, onsets: readonly number[], isBeat: (onset: number) => boolean): number[] {
  const staves = stavesOf(part, onsets);
  if (part.instrument !== 'harp' || staffByTrack(part) !== undefined) return staves;
  const byOnset = new Map<number, number[]>();
  for (const [index, { midi }] of part.notes.entries()) {
    const onset = onsets[index] ?? 0;
    byOnset.set(onset, [...(byOnset.get(onset) ?? []), midi]);
  }
  const struck = [...byOnset].sort((a, b) => a[0] - b[0]).map(([onset, midis]) => ({ onset, midis }));
  const figures = staffOfFigures(struck, isBeat);
  return staves.map((staff, index) => figures.get(onsets[index] ?? 0) ?? staff);
}

/** Staff of each note of a part with two staves: 1 and 2 for the hands, 3 for the pedals of an organ that have a track of their own. */
export function stavesOf(part: Part, onsets: readonly number[]): number[] {
  const pedals = pedalTracks(part);
  if (pedals.size === 0) return handsOf(part, onsets);
  const manuals = part.tracks.map((_, index) => index).filter((index) => !pedals.has(index));
  const played = part.notes.map((_, index) => index).filter((index) => !pedals.has(part.notes[index]?.trackIndex ?? 0));
  const hands = handsOf(
    {
      ...part,
      tracks: part.tracks.filter((_, index) => !pedals.has(index)),
      notes: played.flatMap((index) => {
        const note = part.notes[index];
        return note === undefined ? [] : [{ ...note, trackIndex: manuals.indexOf(note.trackIndex) }];
      }),
    },
    played.map((index) => onsets[index] ?? 0),
  );
  const staves = part.notes.map(() => 3);
  for (const [at, index] of played.entries()) staves[index] = hands[at] ?? 1;
  return staves;
}

/** Staff (1 or 2) of each note that hands play. */
function handsOf(part: Part, onsets: readonly number[]): number[] {
  const byTrack = staffByTrack(part);
  if (byTrack !== undefined) return part.notes.map((note) => byTrack[note.trackIndex] ?? 1);
  const slices = slicesOf(part, onsets);
  const centres = runningCentres(slices);
  let costs: number[] = Array.from({ length: SPLITS }, () => 0);
  const back: number[][] = [];
  for (const [index, slice] of slices.entries()) {
    const { best, from } = spreadMoves(costs);
    back.push(from);
    costs = best.map((cost, state) => cost + splitCost(slice, LOWEST_SPLIT + state, centres[index] ?? 60));
  }
  let state = costs.indexOf(Math.min(...costs));
  const splitAt = new Map<number, number>();
  for (let index = slices.length - 1; index >= 0; index--) {
    splitAt.set(slices[index]?.onset ?? 0, LOWEST_SPLIT + state);
    state = back[index]?.[state] ?? state;
  }
  const lines = staffOfLines(slices);
  return part.notes.map((note, index) => {
    const onset = onsets[index] ?? 0;
    return lines.get(onset) ?? (note.midi >= (splitAt.get(onset) ?? 60) ? 1 : 2);
  });
}
