/** The full score: every part on its own staff or grand staff, in score order, for reading and printing. */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import { isPluckedOrchestra, type EnsembleKind } from '../../model/music/ensemble.ts';
import type { Family } from '../../model/music/instrument.ts';
import { percussionKey, type PercussionKey } from '../../model/music/percussion-keys.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { Style } from '../../model/music/style.ts';
import { STEPS, midiOf } from '../../model/music/pitch.ts';
import type {
  DynamicMark,
  NoteHead,
  ReducedScore,
  ScoreBar,
  StaffBar,
  StaffInfo,
  WrittenEvent,
  WrittenNote,
  WrittenNotes,
} from '../../model/music/written.ts';
import { isAlike } from '../../model/alike.ts';
import { asPlayed } from '../known-parts.ts';
import { barHead, sectionMarks } from '../reduction/bar-texts.ts';
import { partDynamics } from '../dynamics/dynamic-marks.ts';
import type { ScoreReading } from '../clefs-and-signatures/allowed-clefs.ts';
import type { PartStavesBar } from './part-staves.ts';
import { partStaves } from './part-staves.ts';
import { barIndexAtDivision, scoreTimeOf, type ScoreTime } from '../score-time/score-time.ts';
import { signatureByBar } from '../clefs-and-signatures/signatures.ts';
import { wordsByBar, wordsOfBar } from '../note-values/sung-words.ts';
import { tempoTexts } from '../score-time/tempo-text.ts';
import { concertIntervalOf, intervalOf } from '../keys/written-pitch.ts';
import { keyedName, languageOf } from './keyed-name.ts';
import { FINGERED } from '../voices/voices.ts';

/** Families whose parts stand under one bracket (E. Gould, Behind Bars, from memory). */
const BRACKETED: ReadonlySet<Family> = new Set<Family>(['woodwind', 'brass', 'percussion', 'strings', 'voice']);

/** Players who read 8va; winds, violas and low strings read ledger lines or another clef (Gould, from memory). */
const OTTAVA_INSTRUMENTS: ReadonlySet<string> = new Set(['violin', 'harp', 'xylophone', 'marimba', 'vibraphone']);

/** Whether the players of a part read the signs of the ottava. */
export function readsOttava(part: Part): boolean {
  return part.family === 'keyboard' || part.family === 'unknown' || OTTAVA_INSTRUMENTS.has(part.instrument);
}

/** Whether any part is read at another pitch than its sound, octaves apart. */
export function hasTransposingParts(stage: Stage): boolean {
  return stage.parts.some((part) => intervalOf(part).chromatic !== concertIntervalOf(part).chromatic);
}

/** Unpitched sounds stand on their lines, one part that strikes a single sound on the middle line. */
function placeOf(midi: number, single: boolean): { readonly line: number; readonly head: PercussionKey['head'] } {
  const { display, head } = percussionKey(midi);
  if (single) return { line: 3, head: 'normal' };
  return { line: 1 + (STEPS.indexOf(display.step) + 7 * display.octave - 30) / 2, head };
}

function placedHeads(heads: readonly NoteHead[], single: boolean): readonly NoteHead[] {
  const placed = heads.map((head) => ({ ...head, place: placeOf(midiOf(head.pitch), single) }));
  placed.sort((a, b) => a.place.line - b.place.line);
  return placed.filter((head, index) => head.place.line !== placed[index - 1]?.place.line);
}

/** Notes and small notes (a flam is on one drum) of an unpitched part. */
function placedEvent(event: WrittenEvent, single: boolean): WrittenEvent {
  const heads = placedHeads(event.heads, single);
  if (event.ornament === undefined) return { ...event, heads };
  const graces = event.ornament.graces.map((grace) => ({ ...grace, line: placeOf(grace.midi, single).line }));
  return { ...event, heads, ornament: { ...event.ornament, graces } };
}

function withPlaces(bars: readonly PartStavesBar[]): readonly PartStavesBar[] {
  const eventsOf = (bar: PartStavesBar): readonly WrittenEvent[] => bar.staves.flatMap((staff) => staff.voices.flat());
  const keys = new Set(
    bars.flatMap((bar) => eventsOf(bar).flatMap((event) => event.heads.map(({ pitch }) => midiOf(pitch)))),
  );
  const single = keys.size <= 1;
  return bars.map((bar) => ({
    ...bar,
    staves: bar.staves.map((staff) => ({
      ...staff,
      voices: staff.voices.map((voice) => voice.map((event) => placedEvent(event, single))),
    })),
  }));
}

/**
 * Bass, figure and tune of fingers on one staff: the bass has its stems down for as long as it is held, the figure stands with the tune, each string to
 * the next onset of either, since it rings anyway (common practice of guitar music, no source).
 */
function fingeredVoices(notes: readonly WrittenNote[]): readonly WrittenNote[] {
  const voices = new Map<WrittenNote, number>();
  let bassUntil = 0;
  // A bass before what begins with it.
  for (const note of [...notes].sort((a, b) => a.start - b.start || b.voice - a.voice)) {
    if (note.voice > 2) bassUntil = Math.max(bassUntil, note.start + note.length);
    voices.set(note, note.voice > 2 ? 2 : note.start < bassUntil ? 1 : note.voice);
  }
  const upper = notes.filter((note) => voices.get(note) === 1).map(({ start }) => start);
  const onsets = [...new Set(upper)].sort((a, b) => a - b);
  const nextOf = new Map(onsets.map((start, index) => [start, onsets[index + 1] ?? Infinity]));
  return notes.map((note) => {
    const voice = voices.get(note) ?? note.voice;
    if (voice !== 1 || note.voice === 1) return voice === note.voice ? note : { ...note, voice };
    return { ...note, voice, length: Math.min(note.length, (nextOf.get(note.start) ?? Infinity) - note.start) };
  });
}

/** A staff shows two voices: of more, the odd ones stand with the first and the even ones with the second, or the bass has one for itself. */
function inTwoVoices({ instrument }: Part, notes: readonly WrittenNote[]): readonly WrittenNote[] {
  if (notes.every((note) => note.voice <= 2)) return notes;
  if (FINGERED.has(instrument)) return fingeredVoices(notes);
  return notes.map((note) => (note.voice <= 2 ? note : { ...note, voice: note.voice % 2 === 1 ? 1 : 2 }));
}

/** Index of the staff of an organ's pedals: the brace is for the hands, the pedals stand under it (Gould, from memory). */
const PEDAL_STAFF = 2;

/** In chamber music all winds stand under one bracket, in a plucked orchestra all that is plucked, with its bass. */
function bracketOf({ family, instrument }: Part, kind: EnsembleKind, isPlucked: boolean): string {
  if (isPlucked && (family === 'plucked' || instrument === 'double-bass')) return 'plucked';
  if (!BRACKETED.has(family)) return '';
  return kind === 'chamber' && (family === 'woodwind' || family === 'brass') ? 'winds' : family;
}

function staffInfos(
  part: Part,
  bars: readonly PartStavesBar[],
  name: string,
  kind: EnsembleKind,
  isPlucked: boolean,
): readonly StaffInfo[] {
  const staves = bars[0]?.staves ?? [];
  return staves.map(({ clef }, index): StaffInfo => ({
    id: `${part.id}-${String(index + 1)}`,
    label: index === PEDAL_STAFF ? 'Pedals' : name,
    abbreviation: index === PEDAL_STAFF ? 'Ped.' : part.abbreviation,
    clef,
    brace: staves.length > 1 && index < PEDAL_STAFF ? part.id : '',
    bracket: bracketOf(part, kind, isPlucked),
    ottava: readsOttava(part),
    role: part.role,
  }));
}

/** Staves of a bar with their own signatures where they differ from the sounding one. */
function stavesOf(bar: PartStavesBar, before: PartStavesBar | undefined, sounding: number): readonly StaffBar[] {
  return bar.staves.map((staff) => ({
    ...staff,
    ...(bar.fifths === sounding && bar.interval.chromatic % 12 === 0 ? {} : { fifths: bar.fifths }),
    ...(before === undefined || before.fifths === bar.fifths ? {} : { changedFromFifths: before.fifths }),
  }));
}

/** Marks by the bar where they begin, each under the first staff of its part. */
function dynamicsByBar(
  parts: readonly { readonly firstStaff: number; readonly dynamics: readonly DynamicMark[] }[],
  time: ScoreTime,
): readonly (readonly DynamicMark[])[] {
  const bars: DynamicMark[][] = time.bars.map(() => []);
  for (const { firstStaff, dynamics } of parts) {
    for (const mark of dynamics) bars[barIndexAtDivision(time, mark.start)]?.push({ ...mark, staff: firstStaff });
  }
  return bars;
}

/** All that the staves of a part are made of besides its notes. */
interface StavesGiven {
  readonly part: object;
  readonly time: ScoreTime;
  readonly signatures: readonly number[];
  readonly style: Style;
}

interface KnownStaves {
  readonly given: StavesGiven;
  readonly bars: readonly PartStavesBar[];
}

/**
 * By the notes and by the interval at which they are read: what is read as it sounds is the same in both readings, and a stage shares most
 * of its parts with the one before.
 */
const knownStaves = new WeakMap<readonly WrittenNote[], Map<string, KnownStaves>>();

function canWrite({ octave }: SpelledPitch): boolean {
  return octave >= 0 && octave <= 9;
}

/** Staves of one part in every bar. */
function stavesOfPart(
  part: Part,
  notes: readonly WrittenNote[],
  reading: ScoreReading,
  { time, signatures, style }: Omit<StavesGiven, 'part'>,
): readonly PartStavesBar[] {
  const [own, sounding] = [intervalOf(part), concertIntervalOf(part)];
  const as = isAlike(own, sounding) ? 'concert' : reading;
  const { diatonic, chromatic } = as === 'concert' ? sounding : own;
  const key = `${String(diatonic)} ${String(chromatic)}`;
  const given = { part: asPlayed(part), time, signatures, style };
  const known = knownStaves.get(notes) ?? new Map<string, KnownStaves>();
  knownStaves.set(notes, known);
  const before = known.get(key);
  if (before !== undefined && isAlike(before.given, given)) return before.bars;
  const laid = partStaves(part, inTwoVoices(part, notes), time, signatures, { reading: as, canWrite, style });
  const bars = part.unpitched ? withPlaces(laid) : laid;
  known.set(key, { given, bars });
  return bars;
}

/** Lays out the full score of a stage. Parts without notes stand in it with rests. */
export function fullScore(stage: Stage, written: WrittenNotes, reading: ScoreReading): ReducedScore {
  const time = scoreTimeOf(stage.timeline.bars);
  const numbers = time.bars.map((bar) => bar.number);
  const byNumber = signatureByBar(written.keys, stage.sections, numbers);
  const signatures = numbers.map((number) => byNumber.get(number) ?? 0);
  const notesById = new Map(written.parts.map((part) => [part.partId, part.notes]));
  const { style } = written.style;
  let staffCount = 0;
  const parts = stage.parts.map((part) => {
    const own = notesById.get(part.id) ?? [];
    const notes = inTwoVoices(part, own);
    const bars = stavesOfPart(part, own, reading, { time, signatures, style });
    const firstStaff = staffCount;
    staffCount += bars[0]?.staves.length ?? 0;
    return { part, notes, bars, firstStaff, dynamics: partDynamics(part, notes, time) };
  });
  const dynamics = dynamicsByBar(parts, time);
  const words = wordsByBar(
    parts.map(({ notes, firstStaff }) => ({ notes, staffOf: ({ staff }) => firstStaff + staff - 1 })),
    time,
  );
  const tempi = tempoTexts(stage.timeline);
  const sections = sectionMarks(stage);
  const bars = time.bars.map((_, index): ScoreBar => {
    const fifths = signatures[index] ?? 0;
    return {
      ...barHead(time.bars, index, { sections, tempi }, fifths, signatures[index - 1] ?? fifths),
      chords: [],
      cues: [],
      dynamics: dynamics[index] ?? [],
      names: [],
      ...wordsOfBar(words, index),
      staves: parts.flatMap((one) => {
        const here = one.bars[index];
        return here === undefined ? [] : stavesOf(here, one.bars[index - 1], fifths);
      }),
      doublings: [],
      leftOut: [],
    };
  });
  const isPlucked = isPluckedOrchestra(stage.parts);
  const { kind } = stage.ensemble;
  const language = languageOf(stage.parts);
  const nameOf = (part: Part): string => (reading === 'concert' ? part.name : keyedName(part, language));
  return {
    staves: parts.flatMap(({ part, bars: own }) => staffInfos(part, own, nameOf(part), kind, isPlucked)),
    bars,
  };
}
