/**
 * Spelling by what a note does: as a tone of the chord in force, as a degree of the key of the moment, or by where it goes. Textbooks of
 * notation and harmony agree on the three (G. Read, Music Notation, chapter on accidentals; Kostka and Payne, Tonal Harmony; from memory): a
 * chord is written in thirds, a scale has each letter once, and a chromatic note is written on another letter than the note a semitone away to which it moves.
 */
import { fifthsOf } from '../../model/music/pitch.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { KeySpan } from '../../model/music/written.ts';
import type { ChordRun } from '../chords/chord-run.ts';
import type { VoicedNote } from '../chords/chord-texture.ts';
import { localKeyOf } from '../chords/chords.ts';
import { keyAtBar } from '../keys/key.ts';
import { chromaticPlace } from '../keys/line-of-fifths.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';
import type { Spelling } from './spelling.ts';
import { lastAtOrBefore } from '../../model/sorted-search.ts';

/** Places of the scale degrees beside the tonic's; minor has both forms of its sixth and seventh. */
const SCALES = { major: [0, 2, 4, -1, 1, 3, 5], minor: [0, 2, -3, -1, 1, -4, 3, -2, 5] } as const;
/** A semitone up is five places down the line of fifths where the letter changes. */
const SEMITONE = 5;

interface ScaleKey {
  /** Place of the tonic. */
  readonly tonic: number;
  readonly mode: 'major' | 'minor';
}

/** Notes of one pitch class that are struck together have one name. */
function keyOf({ start, midi }: Pick<VoicedNote, 'start' | 'midi'>): string {
  return `${String(start)}:${String(midi % 12)}`;
}

interface HeardChord extends ScaleKey {
  readonly start: number;
  readonly end: number;
  /** Place of each of its pitch classes. */
  readonly places: ReadonlyMap<number, number>;
  /** Place of the root of a dominant seventh chord. */
  readonly dominant?: number;
}

/** Preference for a diminished chord on a raised degree, by semitones above the tonic: leading note, its own of the fifth, and of other degrees. */
const LEADING_DEGREES: Readonly<Record<number, number>> = { 11: 1.2, 6: 1, 1: 0.6, 8: 0.6, 4: 0.6, 3: 0.5, 2: 0.5 };
const RESOLVES = 1.2;
const AS_FOUND = 0.4;
const LETTER_CHANGES = 0.7;

interface Move {
  readonly midi: number;
  readonly to: number;
}

function isDiminished(run: ChordRun): boolean {
  return run.template.quality.name.startsWith('diminished');
}

/** Places of the tones of a diminished chord: as the stack of thirds in which most of its semitone moves change their letter. */
function diminishedPlaces(
  run: ChordRun,
  nextRoot: number | undefined,
  key: ScaleKey,
  moves: readonly Move[],
): Map<number, number> {
  let best = new Map<number, number>();
  let most = Number.NEGATIVE_INFINITY;
  for (const above of [0, 3, 6, 9]) {
    const root = (run.template.root + above) % 12;
    const usual = chromaticPlace(root, key.tonic);
    const place = usual - key.tonic <= -2 ? usual + 12 : usual;
    const places = new Map([0, 1, 2, 3].map((third) => [(root + 3 * third) % 12, place - 3 * third]));
    let score = LEADING_DEGREES[(((root - placeClass(key.tonic)) % 12) + 12) % 12] ?? 0;
    if (above === 0) score += AS_FOUND;
    if (nextRoot === (root + 1) % 12) score += RESOLVES;
    for (const { midi, to } of moves) {
      const from = places.get(midi % 12);
      const aim = scalePlace(to, key);
      if (from === undefined || aim === undefined) continue;
      score += aim - from === (to > midi ? -SEMITONE : SEMITONE) ? LETTER_CHANGES : -LETTER_CHANGES;
    }
    if (score <= most) continue;
    most = score;
    best = places;
  }
  return best;
}

function placeClass(place: number): number {
  return (((7 * place) % 12) + 12) % 12;
}

/** Root of a run as the chord after it is heard: of a six-four over the dominant the dominant. */
function heardRoot(run: ChordRun | undefined): number | undefined {
  return run?.isCadential === true ? (run.template.root + 7) % 12 : run?.template.root;
}

function heardChords(
  runs: readonly ChordRun[],
  keys: readonly KeySpan[],
  time: ScoreTime,
  movesIn: (start: number, end: number) => readonly Move[],
): HeardChord[] {
  return runs.flatMap((run, index): HeardChord[] => {
    const first = run.frames[0];
    const last = run.frames.at(-1);
    if (first === undefined || last === undefined) return [];
    const bar = time.bars[barIndexAtDivision(time, first.start)];
    const { tonic: name, mode } = localKeyOf(run.key, keyAtBar(keys, bar?.number ?? 1));
    const tonic = fifthsOf(name);
    const { root, quality } = run.template;
    const start = first.start;
    const end = last.start + last.length;
    const next = heardRoot(runs[index + 1]);
    if (isDiminished(run))
      return [{ start, end, places: diminishedPlaces(run, next, { tonic, mode }, movesIn(start, end)), tonic, mode }];
    const usual = chromaticPlace(root, tonic);
    const place = quality.name === 'half-diminished' && usual - tonic <= -2 ? usual + 12 : usual;
    // A seventh chord on the lowered sixth has an augmented sixth, unless it falls a fifth like a dominant.
    const isAugmentedSixth = quality.name === 'dominant-seventh' && place - tonic === -4 && next !== (root + 5) % 12;
    const places = new Map(
      quality.intervals.map((interval, tone) => [
        (root + interval) % 12,
        place + (isAugmentedSixth && interval === 10 ? 10 : (quality.fifths[tone] ?? 0)),
      ]),
    );
    const dominant = quality.name === 'dominant-seventh' && !isAugmentedSixth ? { dominant: place } : {};
    return [{ start, end, places, tonic, mode, ...dominant }];
  });
}

function chordAt(chords: readonly HeardChord[], division: number): HeardChord | undefined {
  const chord = chords[lastAtOrBefore(chords, division, ({ start }) => start)];
  return chord !== undefined && chord.start <= division ? chord : undefined;
}

function scalePlace(midi: number, { tonic, mode }: ScaleKey): number | undefined {
  return SCALES[mode].map((degree) => tonic + degree).find((place) => placeClass(place) === midi % 12);
}

/** What follows after more than an eighth does not follow at once. */
const LONGEST_GAP = 240;

/** How many semitones a note moves to the next of its part, where that is one semitone and follows at once. */
function resolutions(notes: readonly VoicedNote[]): Map<VoicedNote, VoicedNote> {
  const byVoice = groupedBy(notes, ({ voice }) => voice);
  const found = new Map<VoicedNote, VoicedNote>();
  for (const voice of byVoice.values()) {
    for (const [index, note] of voice.entries()) {
      for (let later = index + 1; later < Math.min(voice.length, index + 12); later++) {
        const other = voice[later];
        if (other === undefined || other.start > note.end + LONGEST_GAP) break;
        if (other.start < note.end - 60 || Math.abs(other.midi - note.midi) !== 1) continue;
        found.set(note, other);
        break;
      }
    }
  }
  return found;
}

/** The same, where a note that is struck again at once goes where its last stroke goes. */
function throughRepeats(
  notes: readonly VoicedNote[],
  next: ReadonlyMap<VoicedNote, VoicedNote>,
): Map<VoicedNote, VoicedNote> {
  const goals = new Map(next);
  const later = new Map<string, VoicedNote>();
  for (let index = notes.length - 1; index >= 0; index--) {
    const note = notes[index] as VoicedNote;
    const line = `${String(note.voice)}:${String(note.midi)}`;
    const again = later.get(line);
    const goal = again === undefined || again.start > note.end + LONGEST_GAP ? undefined : goals.get(again);
    if (goal !== undefined && !goals.has(note)) goals.set(note, goal);
    later.set(line, note);
  }
  return goals;
}

/**
 * One name for a chromatic note in one chord, whoever has it, as far as its own way has not named it: over a dominant seventh a semitone above
 * the root is its flat ninth; else what goes nowhere takes the name of what goes somewhere (common practice, no source).
 */
function settle(
  notes: readonly VoicedNote[],
  places: Map<string, number>,
  chords: readonly HeardChord[],
  firm: (note: VoicedNote) => number | undefined,
): void {
  const free = notes.filter((note) => firm(note) === undefined);
  const groups = groupedBy(free, (note) => `${String(chordAt(chords, note.start)?.start)}:${String(note.midi % 12)}`);
  for (const group of groups.values()) {
    const first = group[0] as VoicedNote;
    const chord = chordAt(chords, first.start);
    if (chord === undefined || first.start >= chord.end) continue;
    const found = new Map(group.map((note) => [keyOf(note), places.get(keyOf(note))]));
    const led = new Set([...found.values()].filter((place) => place !== undefined));
    const ninth = chord.dominant === undefined ? undefined : chord.dominant - SEMITONE;
    const isNinth = ninth !== undefined && placeClass(ninth) === first.midi % 12;
    const one = isNinth && !isDouble(ninth) ? ninth : led.size === 1 ? [...led][0] : undefined;
    if (one === undefined) continue;
    for (const [key, place] of found) if (place === undefined) places.set(key, one);
  }
}

/** A key is remembered for about two bars after the last chord. */
const LONGEST_MEMORY = 3840;

/** True where a place needs a double sharp or flat: those need a better reason than a chord. */
function isDouble(place: number): boolean {
  return place > 12 || place < -8;
}

/** True where one of the places is another alteration of the same letter: no player is given C flat beside C (common practice, no source). */
function sharesLetter(place: number, others: readonly number[]): boolean {
  return others.some((other) => other !== place && (other - place) % 7 === 0);
}

/** The spelling corrected by chords, scale and resolution. `notes` as the chords were found in them. */
export function respelled(
  spelling: Spelling,
  runs: readonly ChordRun[],
  notes: readonly VoicedNote[],
  keys: readonly KeySpan[],
  time: ScoreTime,
): Spelling {
  const next = resolutions(notes);
  const together = groupedBy(notes, ({ start }) => start);
  const moving = notes.filter((note) => next.has(note));
  let from = 0;
  const movesIn = (start: number, end: number): Move[] => {
    while (from < moving.length && (moving[from]?.start ?? 0) < start) from++;
    const moves: Move[] = [];
    for (let index = from; index < moving.length; index++) {
      const note = moving[index] as VoicedNote;
      if (note.start >= end) break;
      const aim = next.get(note);
      // A move inside the chord says nothing about where the chord goes.
      if (aim !== undefined && aim.start >= end - 1) moves.push({ midi: note.midi, to: aim.midi });
    }
    return moves;
  };
  const chords = heardChords(runs, keys, time, movesIn);
  const goals = throughRepeats(notes, next);
  const places = new Map<string, number>();
  const firm = (note: VoicedNote): number | undefined => {
    const chord = chordAt(chords, note.start);
    if (chord === undefined) return undefined;
    if (note.start >= chord.end + LONGEST_MEMORY) return undefined;
    const inChord = note.start < chord.end ? chord.places.get(note.midi % 12) : undefined;
    return inChord === undefined || isDouble(inChord) ? scalePlace(note.midi, chord) : inChord;
  };
  for (const note of notes) {
    const key = keyOf(note);
    if (places.has(key)) continue;
    const place = firm(note);
    if (place !== undefined) {
      places.set(key, place);
      continue;
    }
    const aim = goals.get(note);
    const aimPlace = aim === undefined ? undefined : (firm(aim) ?? spelling.placeOf(aim.start, aim.midi));
    if (aim === undefined || aimPlace === undefined) continue;
    const led = aimPlace + (aim.midi > note.midi ? SEMITONE : -SEMITONE);
    const chord = (together.get(note.start) ?? []).filter(({ voice }) => voice === note.voice);
    const beside = chord.flatMap((other) => firm(other) ?? []);
    if (!sharesLetter(led, beside) || sharesLetter(spelling.placeOf(note.start, note.midi), beside))
      places.set(key, led);
  }
  settle(notes, places, chords, firm);
  return {
    placeOf: (start, midi) => places.get(keyOf({ start, midi })) ?? spelling.placeOf(start, midi),
  };
}
