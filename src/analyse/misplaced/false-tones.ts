/**
 * Notes a semitone beside the harmony that everybody else plays, however many octaves away: a bass beside the root of a whole triad, a held inner
 * note between both of its neighbours or beside the third. The cases and their limits are ours.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import type { Slice } from '../placed-notes/slices.ts';

/** A tone of the others counts where it sounds with the false one for this share of its time. */
const WITH_SHARE = 0.25;
/** The tone that an inner note rubs against sounds with it for this share of its time. */
export const AGAINST_SHARE = 0.5;
/** The bass is false where it is so for this share of what it plays in the bar. */
const BASS_SHARE = 0.7;
/** A note is held through a bar that has it for this share; for most of it where it is let go and not led on, as a chop that was left to ring. */
const THROUGH_SHARE = 0.9;
const MOST_SHARE = 0.7;
/** What is let go before the bar ends is false where so many others have the right third. */
const OTHERS_RIGHT = 2;
const STEP = 2;
/** What a line passes through is no longer than this, or than twice the note before it: what an upbeat leads to has arrived. Our conventions. */
const PASSING_BEATS = 2;
const PASSING_FACTOR = 2;

export interface FalseTone {
  readonly barIndex: number;
  readonly partIndex: number;
  readonly note: PlacedNote;
  readonly beats: number;
  /** Somebody who has the right note beside it. */
  readonly against: { readonly partIndex: number; readonly note: PlacedNote };
  readonly isBass: boolean;
  /** True where it is the wrong third of a whole chord, in free harmony. */
  readonly isThird?: boolean;
}

/** What sounds beside one tone in a bar: quarters by pitch class, of all others. */
export interface Beside {
  readonly partIndex: number;
  total: number;
  readonly held: number[];
  readonly who: Map<number, { readonly partIndex: number; readonly note: PlacedNote }>;
  readonly first: PlacedNote;
}

type Sounding = Slice['sounding'][number];

/** Who is heard first with a pitch class, and first of the other parts: beside each note one of the two. */
interface Heard {
  readonly first: Sounding;
  other?: Sounding;
}

function heardIn(sounding: readonly Sounding[]): ReadonlyMap<number, Heard> {
  const heard = new Map<number, Heard>();
  for (const one of sounding) {
    const known = heard.get(one.note.midi % 12);
    if (known === undefined) heard.set(one.note.midi % 12, { first: one });
    else if (one.partIndex !== known.first.partIndex) known.other ??= one;
  }
  return heard;
}

/** Keys of a keyboard: MIDI has 128. */
const KEYS = 128;

/** True where a line may pass through a tone of so many quarters after the note before it. */
export function mayPass(quarters: number, before: PlacedNote | undefined, beatQuarters: number): boolean {
  const led = before === undefined ? 0 : before.endQuarters - before.startQuarters;
  return quarters <= Math.max(PASSING_BEATS * beatQuarters, PASSING_FACTOR * led) + 1e-6;
}

/** Gathers, by part and pitch, what sounds beside each note of a bar; for the lowest sound alone where `isBass`. */
export function besideIn(slices: readonly Slice[], isBass: boolean): readonly Beside[] {
  const found = new Map<number, Beside>();
  for (const { startQuarters, endQuarters, sounding } of slices) {
    const length = endQuarters - startQuarters;
    const heard = heardIn(sounding);
    for (const own of isBass ? sounding.slice(0, 1) : sounding) {
      const key = own.partIndex * KEYS + own.note.midi;
      const beside = found.get(key) ?? {
        partIndex: own.partIndex,
        total: 0,
        held: new Array<number>(12).fill(0),
        who: new Map(),
        first: own.note,
      };
      beside.total += length;
      for (const [pitchClass, { first, other }] of heard) {
        const one = first.partIndex === own.partIndex ? other : first;
        if (one === undefined) continue;
        if (!beside.who.has(pitchClass)) beside.who.set(pitchClass, one);
        beside.held[pitchClass] = (beside.held[pitchClass] ?? 0) + length;
      }
      found.set(key, beside);
    }
  }
  return [...found.values()];
}

/** Index of the first note, of notes in order, that starts at a place or after it. */
function firstFrom(notes: readonly PlacedNote[], quarters: number): number {
  return firstReaching(notes, ({ startQuarters }) => startQuarters >= quarters - 1e-6);
}

/** The notes of a part that start before a stretch and after it, of notes in order; undefined where there are none. */
export function neighbours(
  notes: readonly PlacedNote[],
  from: number,
  to: number,
): readonly (PlacedNote | undefined)[] {
  return [notes[firstFrom(notes, from) - 1], notes[firstFrom(notes, to)]];
}

const at = (pitchClass: number, interval: number): number => (pitchClass + interval + 12) % 12;

/** The pitch class that a bass should have been: the root of the major triad or seventh chord a semitone beside it that all others make. */
function rootBeside(bass: number, has: (pitchClass: number) => boolean): number | undefined {
  if (has(bass)) return undefined;
  return [at(bass, -1), at(bass, 1)].find((root) => {
    const isWhole = has(root) && has(at(root, 4)) && (has(at(root, 7)) || has(at(root, 10)));
    // A semitone under the root the bass may be the major seventh of the chord, unless the minor one sounds too.
    return isWhole && (at(bass, -1) === root || has(at(root, 10)));
  });
}

/** The tone beside which an inner note is false: between two that sound, or the other third of a whole triad. */
function rightBeside(own: number, has: (pitchClass: number) => boolean): number | undefined {
  if (has(own)) return undefined;
  if (has(at(own, 1)) && has(at(own, -1))) return at(own, 1);
  for (const [third, right] of [
    [4, 3],
    [3, 4],
  ] as const) {
    const root = at(own, -third);
    if (has(root) && has(at(root, right)) && has(at(root, 7))) return at(root, right);
  }
  return undefined;
}

/**
 * The third of a whole chord of the others where the note is its other third: the major one of a minor triad, which no style has beside it, or the minor
 * one of a chord with major third and major seventh (over a minor seventh it is a raised ninth, or a blue note).
 */
function otherThirdBeside(own: number, has: (pitchClass: number) => boolean): number | undefined {
  if (has(own)) return undefined;
  const isChord = (root: number, ...intervals: number[]): boolean =>
    has(root) && intervals.every((interval) => has(at(root, interval)));
  const [ofMinor, ofMajor] = [at(own, -4), at(own, -3)];
  if (isChord(ofMinor, 3, 7)) return at(ofMinor, 3);
  return isChord(ofMajor, 4, 7, 11) && !has(at(ofMajor, 10)) ? at(ofMajor, 4) : undefined;
}

/** Notes of a pitch class that other parts have while this one sounds with its own. */
function notesOfOthers(
  pitchClass: number,
  own: PlacedNote,
  partIndex: number,
  slices: readonly Slice[],
): readonly Sounding[] {
  return slices.flatMap(({ sounding }) =>
    sounding.some((one) => one.partIndex === partIndex && one.note.midi === own.midi)
      ? sounding.filter((one) => one.partIndex !== partIndex && one.note.midi % 12 === pitchClass)
      : [],
  );
}

/** How many other parts have a pitch class while this one sounds with its own. */
function othersWith(pitchClass: number, own: PlacedNote, partIndex: number, slices: readonly Slice[]): number {
  return new Set(notesOfOthers(pitchClass, own, partIndex, slices).map((other) => other.partIndex)).size;
}

/** A semitone, and a semitone over or under an octave. */
const RUBBING: readonly number[] = [1, 11, 13];

/**
 * The major third of a triad of the others beside which one part alone has the minor one, a semitone away or that and an octave, while two others and more
 * have the major one: over a minor seventh it may be a raised ninth, which lies over the third and in no minor triad; over a plain triad it is a slip in
 * any style, and so is a whole minor triad of one part, in whatever octave.
 */
function majorThirdBeside(
  own: PlacedNote,
  partIndex: number,
  slices: readonly Slice[],
  has: (pitchClass: number) => boolean,
  isThirdOfTriad: boolean,
): number | undefined {
  const pitchClass = own.midi % 12;
  const root = at(pitchClass, -3);
  const third = at(root, 4);
  // Who strikes the minor triad whole has its fifth too.
  if (!has(root) || !has(third) || !(isThirdOfTriad || has(at(root, 7)))) return undefined;
  if (othersWith(pitchClass, own, partIndex, slices) > 0) return undefined;
  const right = notesOfOthers(third, own, partIndex, slices);
  if (has(at(root, 10)) && !(isThirdOfTriad && right.some(({ note }) => note.midi > own.midi))) return undefined;
  const rubs = isThirdOfTriad || right.some(({ note }) => RUBBING.includes(Math.abs(note.midi - own.midi)));
  return rubs && new Set(right.map((other) => other.partIndex)).size >= OTHERS_RIGHT ? third : undefined;
}

/**
 * The tone of a whole triad of the others beside which a foreign note lies by a semitone. The fourth over the bass and the major seventh are tones of
 * many a chord: a semitone over the third and under the root counts for nothing.
 */
export function besideTriad(own: number, has: (pitchClass: number) => boolean): number | undefined {
  if (has(own)) return undefined;
  for (let root = 0; root < 12; root++) {
    const third = [4, 3].find((interval) => has(at(root, interval)));
    if (third === undefined || !has(root) || !has(at(root, 7))) continue;
    const right = [root, at(root, third), at(root, 7)].find(
      (tone) => (own === at(tone, 1) && tone !== at(root, third)) || (own === at(tone, -1) && tone !== root),
    );
    if (right !== undefined) return right;
  }
  return undefined;
}

/** So many parts with the root leave no doubt which chord it is. Our convention. */
const MANY_PARTS = 4;

/**
 * The root of a whole triad of the others beside which a tone lies by a semitone, where many parts have that root: over it in any triad, under it in
 * a minor one alone, as the major seventh over a major chord is a tone of it.
 */
function rootOfMany(
  own: number,
  has: (pitchClass: number) => boolean,
  isOfMany: (pitchClass: number) => boolean,
): number | undefined {
  if (has(own)) return undefined;
  return [at(own, -1), at(own, 1)].find((root) => {
    const isTriad = has(root) && has(at(root, 7)) && (has(at(root, 3)) || (has(at(root, 4)) && root === at(own, -1)));
    return isTriad && isOfMany(root);
  });
}

/** Whether at least so many other parts have a pitch class for so many quarters of some slices. */
function sharedBy(slices: readonly Slice[], except: number, pitchClass: number, quarters: number): boolean {
  const held = new Map<number, number>();
  for (const { startQuarters, endQuarters, sounding } of slices) {
    const having = sounding.filter(({ note, partIndex }) => partIndex !== except && note.midi % 12 === pitchClass);
    for (const partIndex of new Set(having.map((one) => one.partIndex)))
      held.set(partIndex, (held.get(partIndex) ?? 0) + endQuarters - startQuarters);
  }
  return [...held.values()].filter((length) => length >= quarters - 1e-6).length >= MANY_PARTS;
}

/** Struck within so many quarters of one another: a chord. */
const TOGETHER = 0.15;

/** True where its own part strikes a minor triad with the note as its third: a chord, no neighbour or appoggiatura. */
function isThirdOfOwnTriad(notes: readonly PlacedNote[], { startQuarters, midi }: PlacedNote): boolean {
  const struck = notes.slice(firstFrom(notes, startQuarters - TOGETHER), firstFrom(notes, startQuarters + TOGETHER));
  const strikes = (interval: number): boolean => struck.some((note) => note.midi % 12 === at(midi % 12, interval));
  return strikes(-3) && strikes(4);
}

/** True where the note was there before, or goes on by step: a suspension, a neighbour, an appoggiatura. */
function isLed(notes: readonly PlacedNote[], { startQuarters, endQuarters, midi }: PlacedNote): boolean {
  const [before, next] = neighbours(notes, startQuarters, endQuarters);
  const isNear = next !== undefined && next.startQuarters <= endQuarters + 1;
  return before?.midi === midi || (isNear && Math.abs(next.midi - midi) <= STEP);
}

/**
 * False tones bar by bar. Basses in every harmony, where they are not passed through by step; inner notes of parts behind the foreground held for
 * `leastBeats` where `strict`, elsewhere only the wrong third of a whole chord, held through a bar or left to ring through most of it. `isFront` says whether a part leads in a bar.
 */
export function falseTonesOf(
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  { bars }: Timeline,
  leastBeats: number,
  strict: boolean,
  isFront: (barIndex: number, partIndex: number) => boolean,
): readonly FalseTone[] {
  const byBar = groupedBy(slices, ({ barIndex }) => barIndex);
  return bars.flatMap((bar, barIndex): FalseTone[] => {
    const own = byBar.get(barIndex) ?? [];
    const beatQuarters = pulseQuarters(bar.meter);
    const end = bar.startQuarters + bar.lengthQuarters;
    const toneOf = (beside: Beside, right: number, isBass: boolean): FalseTone[] => {
      const against = beside.who.get(right);
      const { partIndex, first: note, total } = beside;
      return against === undefined ? [] : [{ barIndex, partIndex, note, beats: total / beatQuarters, against, isBass }];
    };
    const lowest = besideIn(own, true);
    const lowTotal = (index: number): number =>
      lowest.reduce((sum, { partIndex, total }) => sum + (partIndex === index ? total : 0), 0);
    const basses = lowest.flatMap((beside): FalseTone[] => {
      const { partIndex, total, held, first } = beside;
      if (
        total < BASS_SHARE * lowTotal(partIndex) ||
        total < (leastBeats * beatQuarters) / 2 ||
        isFront(barIndex, partIndex)
      )
        return [];
      const right = rootBeside(first.midi % 12, (tone) => (held[tone] ?? 0) >= WITH_SHARE * total);
      if (right === undefined) return [];
      const around = neighbours(placed[partIndex]?.notes ?? [], bar.startQuarters, end);
      // Passed through by step on both sides, or kept from the bar before: a line or a pedal.
      const steps = around.filter((other) => other !== undefined && Math.abs(other.midi - first.midi) <= STEP).length;
      const passes = steps === 2 && mayPass(total, around[0], beatQuarters);
      return passes || around[0]?.midi === first.midi ? [] : toneOf(beside, right, true);
    });
    const inner = besideIn(own, false).flatMap((beside): FalseTone[] => {
      const { partIndex, total, held, first } = beside;
      if (placed[partIndex]?.part.unpitched === true || isFront(barIndex, partIndex)) return [];
      if (total < leastBeats * beatQuarters - 1e-6) return [];
      // Strummed again and again a chord is held; a line is not.
      const isStruckAgain = !strict && isThirdOfOwnTriad(placed[partIndex]?.notes ?? [], first);
      if (!isStruckAgain && first.endQuarters - first.startQuarters < leastBeats * beatQuarters - 1e-6) return [];
      const has = (tone: number): boolean => (held[tone] ?? 0) >= AGAINST_SHARE * total;
      if (!strict) {
        const isLong = total >= MOST_SHARE * bar.lengthQuarters;
        const notes = placed[partIndex]?.notes ?? [];
        const isOfTriad = isLong && isThirdOfOwnTriad(notes, first);
        const third = isLong
          ? (otherThirdBeside(first.midi % 12, has) ?? majorThirdBeside(first, partIndex, own, has, isOfTriad))
          : undefined;
        if (third === undefined) return [];
        const kept = neighbours(notes, first.startQuarters, end)[0]?.midi === first.midi;
        // Held through the bar it is no appoggiatura, wherever it goes in the next one.
        const isThrough = total >= THROUGH_SHARE * bar.lengthQuarters;
        const isChord = isOfTriad && third === at(first.midi % 12, 1);
        const isLeft = (isChord || !isLed(notes, first)) && othersWith(third, first, partIndex, own) >= OTHERS_RIGHT;
        return kept || !(isThrough || isLeft)
          ? []
          : toneOf(beside, third, false).map((tone) => ({ ...tone, isThird: true }));
      }
      const isLowest = lowest.some((low) => low.partIndex === partIndex && low.first.midi === first.midi);
      const right =
        rightBeside(first.midi % 12, has) ??
        (isLowest || isLed(placed[partIndex]?.notes ?? [], first) ? undefined : besideTriad(first.midi % 12, has));
      if (right !== undefined) return toneOf(beside, right, false);
      // Through the whole bar it is no neighbour, however it goes on, unless it was there before or goes on to that very root.
      if (isLowest || total < THROUGH_SHARE * bar.lengthQuarters) return [];
      const root = rootOfMany(first.midi % 12, has, (tone) => sharedBy(own, partIndex, tone, AGAINST_SHARE * total));
      const [before, next] = neighbours(placed[partIndex]?.notes ?? [], first.startQuarters, first.endQuarters);
      const isLeading = next !== undefined && Math.abs(next.midi - first.midi) === 1 && next.midi % 12 === root;
      return root === undefined || before?.midi === first.midi || isLeading ? [] : toneOf(beside, root, false);
    });
    // Of two thirds that rub against one another one is told.
    const others = inner.filter(
      ({ partIndex }, index) =>
        !basses.some((bass) => bass.partIndex === partIndex) &&
        !inner.slice(0, index).some((told) => told.against.partIndex === partIndex),
    );
    return [...basses, ...others];
  });
}
