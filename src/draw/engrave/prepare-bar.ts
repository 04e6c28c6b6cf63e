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
import type { Gap } from './spacing.ts';
import { idealPx } from './spacing.ts';
import type { Words } from './words.ts';

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

export interface PreparedStaff {
  readonly stave: Stave;
  readonly voices: readonly PreparedVoice[];
  readonly beams: readonly Beam[];
  /** The whole staff rests. */
  readonly silent: boolean;
}

export interface Column {
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

/** Words that stand above the bar at a moment and need room to their right. */
export interface PlacedWords {
  readonly start: number;
  readonly words: Words;
}

const LEAST_LEAD_PX = 13;
const COLUMN_PAD_PX = 5;
const BAR_END_PAD_PX = 9;
const WORD_PAD_PX = 9;
/** Two moments nearer than this are one: tuplets are rounded to whole divisions. */
const SAME_MOMENT = 2;

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
export function stemDirectionFor(lines: readonly number[]): 1 | -1 {
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

/** Index of the last moment at or before a position (within rounding). */
export function momentIndex(moments: readonly number[], position: number): number {
  let low = 0;
  let high = moments.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((moments[middle] ?? Infinity) <= position + SAME_MOMENT) low = middle;
    else high = middle - 1;
  }
  return low;
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

function springs(
  bar: ScoreBar,
  staves: readonly PreparedStaff[],
  moments: readonly number[],
  lanes: readonly (readonly PlacedWords[])[],
): { readonly leadPx: number; readonly gaps: readonly Gap[] } {
  const end = bar.startDivisions + bar.lengthDivisions;
  if (moments.length === 0) {
    return {
      leadPx: LEAST_LEAD_PX,
      gaps: [{ least: 42, ideal: idealPx((end - bar.startDivisions) / DIVISIONS_PER_QUARTER, 0) }],
    };
  }
  const laneCount = staves.length + lanes.length;
  const lefts = moments.map(() => new Float64Array(laneCount));
  const rights = moments.map(() => new Float64Array(laneCount).fill(-1));
  const shortest = new Float64Array(moments.length).fill(Infinity);
  staves.forEach((staff, lane) => {
    for (const voice of staff.voices) {
      for (const { event, note } of voice.events) {
        const from = momentIndex(moments, event.start);
        const until = momentIndex(moments, event.start + event.length - 2 * SAME_MOMENT - 1);
        if (event.hidden !== true && event.wholeBar !== true) {
          for (let index = from; index <= until; index++) {
            shortest[index] = Math.min(shortest[index] ?? Infinity, event.length);
          }
        }
        if (note === undefined) continue;
        const metrics = note.getMetrics();
        const left = lefts[from];
        const right = rights[from];
        if (left === undefined || right === undefined) continue;
        left[lane] = Math.max(left[lane] ?? 0, metrics.modLeftPx, metrics.leftDisplacedHeadPx);
        right[lane] = Math.max(right[lane] ?? 0, metrics.notePx + metrics.rightDisplacedHeadPx + metrics.modRightPx);
      }
    }
  });
  lanes.forEach((lane, laneIndex) => {
    for (const { start, words } of lane) {
      const right = rights[momentIndex(moments, start)];
      if (right !== undefined) right[staves.length + laneIndex] = words.widthPx + WORD_PAD_PX - COLUMN_PAD_PX;
    }
  });

  const edges = new Float64Array(laneCount).fill(-Infinity);
  const positions: number[] = [];
  moments.forEach((_, index) => {
    let position = index === 0 ? 0 : (positions[index - 1] ?? 0) + 1;
    for (let lane = 0; lane < laneCount; lane++) {
      if ((rights[index]?.[lane] ?? -1) < 0) continue;
      position = Math.max(position, (edges[lane] ?? 0) + (lefts[index]?.[lane] ?? 0) + COLUMN_PAD_PX);
    }
    if (index === 0) position = 0;
    for (let lane = 0; lane < laneCount; lane++) {
      const right = rights[index]?.[lane] ?? -1;
      if (right >= 0) edges[lane] = Math.max(edges[lane] ?? -Infinity, position + right);
    }
    positions.push(position);
  });
  let barEnd = positions.at(-1) ?? 0;
  edges.forEach((edge, lane) => {
    // Words may reach over the bar line, up to where the next bar's first note can stand.
    barEnd = Math.max(barEnd, edge + (lane < staves.length ? BAR_END_PAD_PX : COLUMN_PAD_PX - LEAST_LEAD_PX));
  });
  positions.push(barEnd);

  const gaps = moments.map((start, index): Gap => {
    const quarters = ((moments[index + 1] ?? end) - start) / DIVISIONS_PER_QUARTER;
    const shortestHere = shortest[index] ?? Infinity;
    return {
      least: (positions[index + 1] ?? 0) - (positions[index] ?? 0),
      ideal: idealPx(quarters, shortestHere === Infinity ? quarters : shortestHere / DIVISIONS_PER_QUARTER),
    };
  });
  const leadPx = Math.max(LEAST_LEAD_PX, Math.max(...(lefts[0] ?? [0])) + 8);
  return { leadPx, gaps };
}
