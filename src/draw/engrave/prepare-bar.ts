/** Turns one bar into VexFlow notes with accidentals, dots and beams, and into columns with the room that they need. */
import { Accidental, Beam, Dot, ModifierContext, Stave, StaveNote, Stem, TickContext } from 'vexflow/core';
import type { Clef } from '../../model/instrument.ts';
import type { ScoreBar, StaffInfo, WrittenEvent } from '../../model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { Remembered } from './accidentals.ts';
import { chooseAccidentals } from './accidentals.ts';
import { beamRuns, groupEnds } from './beaming.ts';
import { lineOf } from './clef.ts';
import { restLine } from './rests.ts';
import type { PlacedWords } from './columns.ts';
import { SAME_MOMENT, momentIndex, springs } from './columns.ts';
import type { Gap } from './spacing.ts';

/** A written event with the note that draws it; rests that are hidden or fill the bar have none. */
export interface PreparedEvent {
  readonly event: WrittenEvent;
  readonly note: StaveNote | undefined;
  /** Indices into the note's keys, by head. */
  readonly beam: Beam | undefined;
}

export interface PreparedVoice {
  readonly events: readonly PreparedEvent[];
  /** 1 = stems up, -1 = stems down, 0 = by the notes (one voice). */
  readonly direction: 1 | -1 | 0;
}

interface PreparedStaff {
  readonly stave: Stave;
  readonly voices: readonly PreparedVoice[];
  readonly beams: readonly Beam[];
  /** The whole staff rests. */
  readonly silent: boolean;
}

interface Column {
  readonly start: number;
  readonly context: TickContext | undefined;
}

export interface PreparedBar {
  readonly bar: ScoreBar;
  readonly staves: readonly PreparedStaff[];
  readonly columns: readonly Column[];
  /** Room left of the first column. */
  readonly leadPx: number;
  /** From each column to the next, the last one to the bar line. */
  readonly gaps: readonly Gap[];
}

const ACCIDENTAL_TYPES: Readonly<Record<number, string>> = { [-2]: 'bb', [-1]: 'b', 0: 'n', 1: '#', 2: '##' };
const STEP_NAMES = ['c', 'd', 'e', 'f', 'g', 'a', 'b'];

/** VexFlow's key name (treble clef) of a line, 1 = lowest. */
function keyOfLine(line: number): string {
  const diatonic = 30 + Math.round((line - 1) * 2);
  return `${STEP_NAMES[((diatonic % 7) + 7) % 7] ?? 'c'}/${String(Math.floor(diatonic / 7))}`;
}

function linesOf(event: WrittenEvent, clef: Clef): number[] {
  return event.heads.map((head) => lineOf(head.pitch, clef));
}

/** The note farther from the middle line decides; both alike: down (Gould, Behind Bars, from memory). */
function stemDirectionFor(lines: readonly number[]): 1 | -1 {
  const highest = Math.max(...lines);
  const lowest = Math.min(...lines);
  return highest - 3 >= 3 - lowest ? -1 : 1;
}

function makeNote(event: WrittenEvent, clef: Clef, direction: 1 | -1, restOn: number): StaveNote {
  const isRest = event.kind === 'rest';
  const lines = isRest ? [restOn] : clef === 'percussion' ? [3] : linesOf(event, clef);
  const note = new StaveNote({
    keys: lines.map(keyOfLine),
    duration: String(event.figure.base),
    dots: event.figure.dots,
    type: isRest ? 'r' : 'n',
    clef: 'treble',
    stemDirection: direction,
  });
  for (let dot = 0; dot < event.figure.dots; dot++) Dot.buildAndAttach([note], { all: true });
  return note;
}

function breakInnerBeams(
  beam: Beam,
  indices: readonly number[],
  voice: readonly WrittenEvent[],
  barStart: number,
): void {
  const events = indices.flatMap((index) => voice[index] ?? []);
  if (!events.some((event) => event.figure.base >= 32)) return;
  const eighth = DIVISIONS_PER_QUARTER / 2;
  const breaks: number[] = [];
  events.forEach((event, index) => {
    const end = event.start + event.length - barStart;
    if (index < events.length - 1 && end % eighth === 0) breaks.push(index);
  });
  beam.breakSecondaryAt(breaks);
}

function prepareStaff(
  bar: ScoreBar,
  staffIndex: number,
  ends: readonly number[],
  offset: number,
  before: Remembered,
): { readonly staff: PreparedStaff; readonly remembered: Remembered } {
  const written = bar.staves[staffIndex];
  const clef = written?.clef ?? 'treble';
  const stave = new Stave(0, -40, 100, { leftBar: false, rightBar: false });
  stave.setDefaultLedgerLineStyle({ lineWidth: 1.6 });
  const allVoices = (written?.voices ?? []).filter((voice) => voice.some((event) => event.hidden !== true));
  const silent = allVoices.every((voice) => voice.every((event) => event.kind === 'rest' && event.wholeBar === true));
  const { shown, remembered } = chooseAccidentals(allVoices, bar.fifths, clef, before);
  const twoVoices = allVoices.length > 1;
  const beams: Beam[] = [];
  const voices = allVoices.map((voice, voiceIndex): PreparedVoice => {
    const direction = twoVoices ? (voiceIndex === 0 ? 1 : -1) : 0;
    const runs = beamRuns(voice, ends, bar.meter, bar.startDivisions, offset);
    const directions = voice.map((event) =>
      direction !== 0 || event.kind === 'rest' ? direction : stemDirectionFor(linesOf(event, clef)),
    );
    for (const run of runs) {
      if (direction !== 0) continue;
      const shared = stemDirectionFor(
        run.flatMap((index) => (voice[index] === undefined ? [] : linesOf(voice[index], clef))),
      );
      for (const index of run) directions[index] = shared;
    }
    const other = twoVoices ? allVoices[1 - voiceIndex] : undefined;
    const notes = voice.map((event, index): StaveNote | undefined => {
      if (event.kind === 'rest' && (event.hidden === true || event.wholeBar === true)) return undefined;
      const stem = directions[index] === -1 ? Stem.DOWN : Stem.UP;
      const note = makeNote(event, clef, stem === Stem.DOWN ? -1 : 1, restLine(event, direction, other, clef));
      event.heads.forEach((head, headIndex) => {
        const alter = shown.get(head);
        const type = alter === undefined ? undefined : ACCIDENTAL_TYPES[alter];
        if (type !== undefined) note.addModifier(new Accidental(type), headIndex);
      });
      return note;
    });
    const beamOf = new Map<number, Beam>();
    for (const run of runs) {
      const group = run.flatMap((index) => notes[index] ?? []);
      if (group.length < 2) continue;
      const beam = new Beam(group);
      breakInnerBeams(beam, run, voice, bar.startDivisions);
      beams.push(beam);
      for (const index of run) beamOf.set(index, beam);
    }
    return {
      direction,
      events: voice.map((event, index) => ({ event, note: notes[index], beam: beamOf.get(index) })),
    };
  });
  return { staff: { stave, voices, beams, silent }, remembered };
}

function momentsOf(bar: ScoreBar, staves: readonly PreparedStaff[], placed: readonly PlacedWords[]): number[] {
  const starts: number[] = [];
  for (const staff of staves) {
    for (const voice of staff.voices)
      for (const { event, note } of voice.events) if (note !== undefined) starts.push(event.start);
  }
  const end = bar.startDivisions + bar.lengthDivisions;
  for (const { start } of placed) starts.push(Math.min(Math.max(start, bar.startDivisions), end - 1));
  starts.sort((a, b) => a - b);
  const moments: number[] = [];
  for (const start of starts) {
    const last = moments.at(-1);
    if (last === undefined || start - last > SAME_MOMENT) moments.push(start);
  }
  return moments;
}

/**
 * Prepares one bar. `lanes` holds the words above it, one list for each row of words; `before` what readers remember of the
 * bar before, staff by staff.
 */
export function prepareBar(
  bar: ScoreBar,
  staffInfos: readonly StaffInfo[],
  lanes: readonly (readonly PlacedWords[])[],
  before: readonly Remembered[],
): { readonly prepared: PreparedBar; readonly remembered: readonly Remembered[] } {
  const full = (bar.meter.numerator * 4 * DIVISIONS_PER_QUARTER) / bar.meter.denominator;
  const offset = bar.number === 0 && bar.lengthDivisions < full ? full - bar.lengthDivisions : 0;
  const allEvents = bar.staves.flatMap((staff) => staff.voices.flat());
  const ends = groupEnds(bar.meter, allEvents, bar.startDivisions - offset);
  const remembered: Remembered[] = [];
  const staves = staffInfos.map((_, staffIndex) => {
    const made = prepareStaff(bar, staffIndex, ends, offset, before[staffIndex] ?? new Map());
    remembered.push(made.remembered);
    return made.staff;
  });

  const moments = momentsOf(bar, staves, lanes.flat());
  const contexts = moments.map(() => undefined as TickContext | undefined);
  staves.forEach((staff) => {
    const modifiers = new Map<number, ModifierContext>();
    staff.voices.forEach((voice, voiceIndex) => {
      for (const { event, note } of voice.events) {
        if (note === undefined) continue;
        const index = momentIndex(moments, event.start);
        const context = contexts[index] ?? new TickContext({ tickID: index });
        contexts[index] = context;
        let modifier = modifiers.get(index);
        if (modifier === undefined) {
          modifier = new ModifierContext();
          modifiers.set(index, modifier);
        }
        note.addToModifierContext(modifier);
        context.addTickable(note, voiceIndex);
        note.setStave(staff.stave);
      }
    });
  });
  for (const context of contexts) context?.preFormat();

  const { leadPx, gaps } = springs(bar, staves, moments, lanes);
  return {
    prepared: {
      bar,
      staves,
      leadPx,
      gaps,
      columns: moments.map((start, index) => ({ start, context: contexts[index] })),
    },
    remembered,
  };
}
