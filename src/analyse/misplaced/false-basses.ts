/**
 * Notes of a bass line that do not belong to the chord which all others spell plainly above them, however short, syncopated or detached the
 * bass is played. The cases and their limits are ours.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt, pulseQuarters } from '../../model/music/timeline.ts';
import { firstReaching, lastAtOrBefore } from '../../model/sorted-search.ts';
import type { FalseTone } from './false-tones.ts';
import { mayPass } from './false-tones.ts';
import { isOneLine } from './line-partners.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice, SoundingNote } from '../placed-notes/slices.ts';

/** A bass line has the lowest tone at so many of its onsets. */
const LOWEST_SHARE = 0.6;
/** Nothing with its middle note above this (A3) is a bass. */
const HIGHEST_MIDDLE = 57;
/** A tone of the others counts where it sounds for this share of the time in which any of them do. */
const SOUNDS_SHARE = 0.25;
/** Where a root sounds all the time. */
const THROUGHOUT_SHARE = 0.95;
/** Passing notes of the others: so much of their time may be outside the chord. */
const FOREIGN_SHARE = 0.2;
/** Nobody else has the tone of the bass, but in passing. */
const SUPPORT_SHARE = 0.1;
/** Share of what the bass plays in a bar that is false. */
const FALSE_SHARE = 0.45;
const STEP = 2;
/** The minor seventh belongs to every chord that has its triad. */
const SEVENTH = 10;

interface Quality {
  readonly tones: readonly number[];
  /** Basses, in semitones above the root, with which the chord makes no other chord that anybody uses: ... */
  readonly never: readonly number[];
  /** ... also not where harmony is strict. */
  readonly neverStrict: readonly number[];
  readonly throughout?: boolean;
}

/** Whole chords. A chord over its second or fourth is one of songs, a dominant over its tonic one of all styles. */
const QUALITIES: readonly Quality[] = [
  { tones: [0, 4, 10], never: [1, 6, 11], neverStrict: [2, 3, 8] },
  { tones: [0, 4, 7], never: [1, 6], neverStrict: [2, 3, 8] },
  { tones: [0, 3, 7], never: [1, 4], neverStrict: [2, 5, 6, 11] },
  // Root and third tell the chord where the root goes on through it.
  { tones: [0, 3], never: [], neverStrict: [1], throughout: true },
  { tones: [0, 4], never: [], neverStrict: [1], throughout: true },
];

/** What the others have between two places: quarters by pitch class, and who has it. */
interface Above {
  readonly total: number;
  readonly held: readonly number[];
  readonly who: ReadonlyMap<number, SoundingNote>;
}

/** What all others have; whoever plays the same tone as a bass is no witness. */
function aboveIn(
  slices: readonly Slice[],
  from: number,
  to: number,
  midi: number,
  partIndex: number,
  basses: ReadonlySet<number>,
): Above {
  const held = new Array<number>(12).fill(0);
  const who = new Map<number, SoundingNote>();
  let total = 0;
  for (let at = firstReaching(slices, ({ endQuarters }) => endQuarters > from + 1e-6); at < slices.length; at++) {
    const slice = slices[at];
    if (slice === undefined || slice.startQuarters >= to - 1e-6) break;
    const length = Math.min(to, slice.endQuarters) - Math.max(from, slice.startQuarters);
    const others = slice.sounding.filter(
      ({ note, partIndex: index }) => index !== partIndex && !(basses.has(index) && (note.midi - midi) % 12 === 0),
    );
    if (others.length === 0) continue;
    total += length;
    for (const pitchClass of new Set(others.map(({ note }) => note.midi % 12))) {
      held[pitchClass] = (held[pitchClass] ?? 0) + length;
    }
    for (const other of others) if (!who.has(other.note.midi % 12)) who.set(other.note.midi % 12, other);
  }
  return { total, held, who };
}

/** Root of the whole chord that the others have and this bass does not belong to; undefined where there is none. */
function rootAgainst({ total, held }: Above, bass: number, strict: boolean): number | undefined {
  const sounds = (pitchClass: number): boolean => (held[pitchClass % 12] ?? 0) >= SOUNDS_SHARE * total;
  if (total === 0 || (held[bass] ?? 0) > SUPPORT_SHARE * total) return undefined;
  const all = held.reduce((sum, each) => sum + each, 0);
  for (const { tones, never, neverStrict, throughout = false } of QUALITIES) {
    for (let root = 0; root < 12; root++) {
      if (!tones.every((tone) => sounds(root + tone))) continue;
      if (throughout && (held[root] ?? 0) < THROUGHOUT_SHARE * total) continue;
      const own = new Set([...tones, 7, SEVENTH].map((tone) => (root + tone) % 12));
      const foreign = held.reduce((sum, each, pitchClass) => sum + (own.has(pitchClass) ? 0 : each), 0);
      if (foreign > FOREIGN_SHARE * all) continue;
      const interval = (bass - root + 12) % 12;
      if (never.includes(interval) || (strict && neverStrict.includes(interval))) return root;
    }
  }
  return undefined;
}

/** Indices of the parts that are a bass line: one note at a time, deep, and mostly the lowest of all or its octave. */
function bassLines(placed: readonly PlacedPart[], slices: readonly Slice[]): ReadonlySet<number> {
  return new Set(
    placed.flatMap(({ part, notes }, partIndex) => {
      if (part.unpitched || notes.length === 0 || !isOneLine(notes)) return [];
      const middle = [...notes].sort((a, b) => a.midi - b.midi)[Math.floor(notes.length / 2)];
      if (middle === undefined || middle.midi > HIGHEST_MIDDLE) return [];
      const lowest = notes.filter(({ startQuarters, midi }) => {
        const slice = slices[lastAtOrBefore(slices, startQuarters + 1e-6, (each) => each.startQuarters)];
        const [bottom] = slice?.sounding ?? [];
        return bottom !== undefined && (bottom.partIndex === partIndex || (bottom.note.midi - midi) % 12 === 0);
      });
      return lowest.length >= LOWEST_SHARE * notes.length ? [partIndex] : [];
    }),
  );
}

/** A note of a bass with the place that is its own: to the next one, a bar at most. */
interface Ground {
  readonly note: PlacedNote;
  /** The bar to which it belongs. */
  readonly barIndex: number;
  readonly to: number;
  readonly root: number | undefined;
  readonly above: Above;
}

/** False basses bar by bar, where most of what the bass plays in the bar is so and no step leads through it. */
export function falseBassesOf(
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  { bars }: Timeline,
  strict: boolean,
  isFront: (barIndex: number, partIndex: number) => boolean,
): readonly FalseTone[] {
  const basses = bassLines(placed, slices);
  return [...basses].flatMap((partIndex): FalseTone[] => {
    const notes = placed[partIndex]?.notes ?? [];
    const grounds = notes.map((note, index): Ground => {
      const { startQuarters, endQuarters, midi } = note;
      const own = barIndexAt(bars, startQuarters);
      const bar = bars[own];
      const barEnd = (bar?.startQuarters ?? 0) + (bar?.lengthQuarters ?? 4);
      const next = notes[index + 1]?.startQuarters ?? endQuarters;
      const to = Math.min(Math.max(endQuarters, next), startQuarters + (bar?.lengthQuarters ?? 4));
      // Who anticipates the bar belongs to what comes after the line.
      const anticipates = endQuarters > barEnd + 1e-6;
      const from = anticipates ? barEnd : startQuarters;
      const above = aboveIn(slices, from, Math.max(to, from + 1), midi, partIndex, basses);
      const barIndex = anticipates ? own + 1 : own;
      return { note, barIndex, to, above, root: rootAgainst(above, midi % 12, strict) };
    });
    return [...groupedBy(grounds, ({ barIndex }) => barIndex)].flatMap(([barIndex, own]): FalseTone[] => {
      const bar = bars[barIndex];
      if (bar === undefined || isFront(barIndex, partIndex)) return [];
      const lengthOf = ({ note, to }: Ground): number => to - note.startQuarters;
      const all = own.reduce((sum, ground) => sum + lengthOf(ground), 0);
      const beat = pulseQuarters(bar.meter);
      // A walking bass comes to its roots from beside them.
      const leadsOn = (ground: Ground): boolean => {
        const next = notes[notes.indexOf(ground.note) + 1];
        const step = Math.abs((next?.midi ?? ground.note.midi) - ground.note.midi);
        return lengthOf(ground) <= beat + 1e-6 && step > 0 && step <= STEP;
      };
      const wrong = own.filter((ground) => ground.root !== undefined && !leadsOn(ground));
      const [first] = wrong;
      const length = wrong.reduce((sum, ground) => sum + lengthOf(ground), 0);
      if (first?.root === undefined || length < FALSE_SHARE * all || length < beat - 1e-6) return [];
      const last = wrong.at(-1) ?? first;
      const before = notes[notes.indexOf(first.note) - 1];
      const after = notes[notes.indexOf(last.note) + 1];
      // Passed through by step, or kept from before: a line or a pedal.
      const isStep = (other: PlacedNote | undefined, from: PlacedNote): boolean =>
        other !== undefined && Math.abs(other.midi - from.midi) <= STEP;
      if (mayPass(length, before, beat) && isStep(before, first.note) && isStep(after, last.note)) return [];
      if (before !== undefined && (before.midi - first.note.midi) % 12 === 0) return [];
      const against = first.above.who.get(first.root);
      return against === undefined
        ? []
        : [{ barIndex, partIndex, note: first.note, beats: length / beat, against, isBass: true }];
    });
  });
}
