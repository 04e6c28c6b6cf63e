/**
 * Key switches: notes that tell a player engine how to play and are not music. They are set aside only where everything
 * speaks for it, for a real note that is out of range is one of the things a reader wants to be told. All must hold:
 *
 * 1. far outside what the instrument can reach (a fifth or more, an octave for plucked, struck and keyboard instruments);
 * 2. a fifth or more away from every note that stays;
 * 3. no place in the line: it sounds under or just before other notes, and without it no hole would be left.
 *
 * A key that lies where no player of a melody instrument can err (an octave and a fifth outside, or below the lowest A of a piano) needs less: it is
 * short and comes shortly before a note, off the pulse of the line, or alone, or lies among keys that are switches elsewhere.
 *
 * Nothing is set aside for unknown instruments, for percussion without pitch, or where nothing but such notes would be left over.
 * The method and its thresholds are ours.
 */
import type { Instrument } from '../../model/music/instrument.ts';
import { pitchLabel, plainSpelling } from '../../model/music/pitch.ts';
import type { PlacedNote } from './group-parts.ts';
import { firstReaching } from '../../model/sorted-search.ts';

interface SwitchNote {
  readonly note: PlacedNote;
  /** One sentence. */
  readonly reason: string;
}

export interface SortedOut {
  /** For each track the notes that are music, in order. */
  readonly music: readonly (readonly PlacedNote[])[];
  /** Sorted by start. */
  readonly switches: readonly SwitchNote[];
}

type Role =
  'line' | 'just-before' | 'shortly-before' | 'under' | 'held-under' | 'opening' | 'tap' | 'before-phrase' | 'unclear';

const FIFTH = 7;
const OCTAVE = 12;
/** A held note under a line may be a bass that somebody wrote, one just before a phrase an upbeat: they must lie further off (an octave and a fifth). */
const VERY_FAR = 19;
/** No melody instrument sounds below the lowest key of a piano. */
const LOWEST_OF_PIANO = 21;
/** Quarter notes. A tap this short, this far before a note. */
const TAP = 0.26;
const SHORTLY_BEFORE = 0.6;
/** Quarter notes. Pressed less than this before a note: no written value. */
const JUST_BEFORE = 0.2;
const SHORT = 0.5;
/** Held switches change now and then; a second line has nearly as many notes as the first. */
const MOST_HELD_SHARE = 0.4;

interface Limits {
  readonly low: number;
  readonly high: number;
}

function limitsOf(instrument: Instrument, userRange: Limits | undefined): Limits | undefined {
  const range = instrument.extremeRange;
  if (range === undefined || instrument.polyphony.kind === 'unpitched') return undefined;
  const ranges = [
    range,
    ...(instrument.extension === undefined ? [] : [instrument.extension]),
    ...(userRange === undefined ? [] : [userRange]),
  ];
  return { low: Math.min(...ranges.map((own) => own.low)), high: Math.max(...ranges.map((own) => own.high)) };
}

function distanceOutside(midi: number, limits: Limits): number {
  return Math.max(limits.low - midi, midi - limits.high, 0);
}

/** Index of the first note that starts at or after a position. */
function firstFrom(notes: readonly PlacedNote[], quarters: number): number {
  return firstReaching(notes, ({ startQuarters }) => startQuarters >= quarters);
}

interface Line {
  readonly notes: readonly PlacedNote[];
  /** Latest end among the notes up to each index. */
  readonly latestEnd: Float64Array;
}

function lineOf(notes: readonly PlacedNote[]): Line {
  const latestEnd = new Float64Array(notes.length);
  let latest = Number.NEGATIVE_INFINITY;
  notes.forEach((note, index) => {
    latest = Math.max(latest, note.endQuarters);
    latestEnd[index] = latest;
  });
  return { notes, latestEnd };
}

/** How long, in quarter notes, the line sounds during a note. */
function soundingDuring(line: Line, note: PlacedNote, from: number): number {
  let covered = 0;
  let reached = note.startQuarters;
  const before = line.latestEnd[from - 1];
  if (before !== undefined && before > reached) {
    const until = Math.min(before, note.endQuarters);
    covered += until - reached;
    reached = until;
  }
  for (let index = from; index < line.notes.length && reached < note.endQuarters; index++) {
    const other = line.notes[index];
    if (other === undefined || other.startQuarters >= note.endQuarters) break;
    const start = Math.max(reached, other.startQuarters);
    const end = Math.min(other.endQuarters, note.endQuarters);
    if (end > start) {
      covered += end - start;
      reached = end;
    }
  }
  return covered;
}

/** So far outside that no slip of an octave explains it. */
function isImpossible(midi: number, distance: number): boolean {
  return distance >= VERY_FAR || (midi < LOWEST_OF_PIANO && distance >= FIFTH);
}

/** What a far note does among the notes of its track that are near the instrument's range. */
function roleOf(note: PlacedNote, line: Line, sustaining: boolean, distance: number): Role {
  const length = note.endQuarters - note.startQuarters;
  const next = firstFrom(line.notes, note.startQuarters - 0.03);
  const following = line.notes[next];
  const lead = following === undefined ? Number.POSITIVE_INFINITY : following.startQuarters - note.startQuarters;
  const covered = soundingDuring(line, note, next) / length;
  const isShort = length <= SHORT;
  if (covered >= 0.5) return isShort ? 'under' : 'held-under';
  if (lead < JUST_BEFORE) return isShort ? 'just-before' : 'held-under';
  const previous = line.notes[next - 1];
  const previousEnd = line.latestEnd[next - 1];
  const rest = previousEnd === undefined ? Number.POSITIVE_INFINITY : note.startQuarters - previousEnd;
  const step = previous === undefined ? undefined : note.startQuarters - previous.startQuarters;
  const keepsPulse = step !== undefined && Math.abs(step - lead) < 0.25 * lead;
  // Alone in a rest shortly before a phrase, and very far off.
  if (sustaining && isShort && !keepsPulse && distance >= VERY_FAR && lead <= 1 && rest >= Math.max(length, 0.25))
    return 'before-phrase';
  // Tapped within the last stretch before a note, unless it keeps the pulse of the line or fills its place in it.
  const isTap = length <= TAP && lead <= SHORTLY_BEFORE && length <= 0.6 * lead;
  if (sustaining && isTap && !keepsPulse && isImpossible(note.midi, distance)) return 'shortly-before';
  // It fills its place up to the next note, or starts where the one before stopped: it is a note of the line.
  if (length >= 0.6 * lead) return 'line';
  if (previous !== undefined) {
    const interval = note.startQuarters - previous.startQuarters;
    if (rest < 0.1 || Math.abs(interval - lead) < 0.15 * lead) return 'line';
  }
  if (previous === undefined && following !== undefined && isShort) return 'opening';
  if (sustaining && lead <= 1 && length <= 0.25 && length <= 0.25 * lead) return 'tap';
  return 'unclear';
}

const REASONS: Readonly<Record<Exclude<Role, 'line' | 'unclear'>, string>> = {
  'just-before': 'it is pressed just before other notes',
  'shortly-before': 'it is tapped shortly before a note, off the pulse of the line',
  under: 'it is short and sounds together with other notes',
  'held-under': 'it is held while other notes sound',
  opening: 'it is short and stands alone before the first note',
  tap: 'it is tapped shortly before other notes',
  'before-phrase': 'it is short and stands alone in the rest before a phrase',
};

const AGAIN = 'the same key is a switch elsewhere in the part';
const ALONE = 'nothing about it lies as far off, and the line goes on without it';
/** Quarter notes about a note in which another far one would make a line of them. */
const LONE_QUARTERS = 4;
const IN_OTHERS = 'the same key is a switch in other parts of the stage';
const AMONG = 'the keys about it are switches elsewhere in the part';
/** Semitones about a switch in which its neighbours lie: switches stand side by side. */
const ZONE = 12;

function reasonText(note: PlacedNote, limits: Limits, instrument: Instrument, why: string): string {
  const side = note.midi < limits.low ? 'below' : 'above';
  return `${pitchLabel(plainSpelling(note.midi))} lies ${distanceOutside(note.midi, limits)} semitones ${side} what a part for ${instrument.name} can reach, and ${why}: taken for a key switch.`;
}

/** Short enough for a switch that is known from other parts, in quarter notes. */
const KNOWN_SWITCH = 0.3;

/** Sorts the notes of a part's tracks into music and key switches. `userRange` widens the instrument's own; `elsewhere` are keys that are switches in other parts. */
export function setSwitchesAside(
  tracks: readonly (readonly PlacedNote[])[],
  instrument: Instrument | undefined,
  userRange?: Limits,
  elsewhere: ReadonlySet<number> = new Set(),
): SortedOut {
  const untouched: SortedOut = { music: tracks, switches: [] };
  const limits = instrument === undefined ? undefined : limitsOf(instrument, userRange);
  if (instrument === undefined || limits === undefined) return untouched;
  const chordsAreMusic = !instrument.sustaining || instrument.polyphony.kind === 'polyphonic';
  const least = chordsAreMusic ? OCTAVE : FIFTH;
  const isFar = (note: PlacedNote): boolean => distanceOutside(note.midi, limits) >= least;
  if (!tracks.some((notes) => notes.some(isFar))) return untouched;
  const near = tracks.map((notes) => notes.filter((note) => !isFar(note)));
  const nearCount = near.reduce((sum, notes) => sum + notes.length, 0);
  if (nearCount === 0) return untouched;
  const wholeLine = lineOf(near.flat().sort((a, b) => a.startQuarters - b.startQuarters || a.midi - b.midi));
  const reasons = new Map<PlacedNote, string>();
  const doubtful: { readonly note: PlacedNote; readonly role: Role }[] = [];
  const held: PlacedNote[] = [];
  tracks.forEach((notes, index) => {
    const own = near[index] ?? [];
    // A track of nothing but far notes is judged against the rest of the part.
    const line = own.length > 0 ? lineOf(own) : wholeLine;
    for (const note of notes) {
      if (!isFar(note)) continue;
      const distance = distanceOutside(note.midi, limits);
      const role = roleOf(note, line, instrument.sustaining, distance);
      if (elsewhere.has(note.midi) && note.endQuarters - note.startQuarters <= KNOWN_SWITCH) {
        reasons.set(note, reasonText(note, limits, instrument, IN_OTHERS));
        continue;
      }
      if (role === 'line' || role === 'unclear') {
        if (distance >= OCTAVE) doubtful.push({ note, role });
        continue;
      }
      if (role === 'held-under') {
        if (chordsAreMusic || distance < VERY_FAR) continue;
        held.push(note);
      }
      reasons.set(note, reasonText(note, limits, instrument, REASONS[role]));
    }
  });
  if (held.length > Math.max(1, MOST_HELD_SHARE * nearCount)) for (const note of held) reasons.delete(note);
  const clearCount = new Map<number, number>();
  for (const { midi } of reasons.keys()) clearCount.set(midi, (clearCount.get(midi) ?? 0) + 1);
  const lineCount = new Map<number, number>();
  for (const { note, role } of doubtful)
    if (role === 'line') lineCount.set(note.midi, (lineCount.get(note.midi) ?? 0) + 1);
  for (const { note } of doubtful) {
    // A key that is clearly a switch most of the time is one every time.
    const clear = clearCount.get(note.midi) ?? 0;
    const inLine = lineCount.get(note.midi) ?? 0;
    const length = note.endQuarters - note.startQuarters;
    if (clear >= 1 && clear >= 2 * inLine && length <= 1) {
      reasons.set(note, reasonText(note, limits, instrument, AGAIN));
      continue;
    }
    let about = 0;
    for (const [midi, count] of clearCount) if (Math.abs(midi - note.midi) <= ZONE) about += count;
    // Tracks of one articulation each come from a player that is switched; elsewhere it may be a slip.
    const isLone =
      (tracks.length > 1 || clearCount.size > 0) &&
      instrument.sustaining &&
      !chordsAreMusic &&
      length <= TAP &&
      distanceOutside(note.midi, limits) >= VERY_FAR &&
      !tracks.some((notes) =>
        notes.some(
          (other) =>
            other !== note &&
            isFar(other) &&
            !reasons.has(other) &&
            Math.abs(other.startQuarters - note.startQuarters) < LONE_QUARTERS,
        ),
      );
    if (isLone) {
      reasons.set(note, reasonText(note, limits, instrument, ALONE));
      continue;
    }
    const isAmong = about >= 2 && about >= 2 * inLine && length <= SHORT;
    if (instrument.sustaining && isAmong && isImpossible(note.midi, distanceOutside(note.midi, limits)))
      reasons.set(note, reasonText(note, limits, instrument, AMONG));
  }
  keepNeighbours(tracks, reasons);
  if (reasons.size === 0) return untouched;
  return {
    music: tracks.map((notes) => notes.filter((note) => !reasons.has(note))),
    switches: [...reasons]
      .map(([note, reason]) => ({ note, reason }))
      .sort((a, b) => a.note.startQuarters - b.note.startQuarters || a.note.midi - b.note.midi),
  };
}

/** A key within a fifth of a note that stays belongs to the music, and so on outwards: takes it out of `reasons`. */
function keepNeighbours(tracks: readonly (readonly PlacedNote[])[], reasons: Map<PlacedNote, string>): void {
  const kept = new Set<number>();
  for (const notes of tracks) for (const note of notes) if (!reasons.has(note)) kept.add(note.midi);
  let changed = true;
  while (changed) {
    changed = false;
    for (const note of reasons.keys()) {
      let isNear = false;
      for (let midi = note.midi - FIFTH + 1; midi < note.midi + FIFTH; midi++) if (kept.has(midi)) isNear = true;
      if (!isNear) continue;
      reasons.delete(note);
      kept.add(note.midi);
      changed = true;
    }
  }
}
