/** Turns one bar into placed notes, beam groups and columns with the room that they need. */
import type { ScoreBar, StaffBar, WrittenEvent } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { Remembered } from '../accidentals-beams-rests/accidentals.ts';
import { chooseAccidentals } from '../accidentals-beams-rests/accidentals.ts';
import { groupEnds } from '../accidentals-beams-rests/beaming.ts';
import { fifthsOf } from '../accidentals-beams-rests/clef-signs.ts';
import type { PlacedClef } from './clefs-inside.ts';
import { placeClefs } from './clefs-inside.ts';
import type { Extent, PlacedWords } from './columns.ts';
import { SAME_MOMENT, momentIndex, springs } from './columns.ts';
import type { EventPlan, EventShape } from './moment.ts';
import { shapeMoment } from './note-shape.ts';
import type { OttavaMap } from '../accidentals-beams-rests/ottava.ts';
import { staffMemory } from './recall-staff.ts';
import type { Gap } from './springs.ts';
import type { VoicePlan } from './voice-plan.ts';
import { isShown, planVoice } from './voice-plan.ts';

/** A written event in its column; rests that are hidden or fill the bar have no shape. */
export interface PreparedEvent {
  readonly event: WrittenEvent;
  readonly column: number;
  readonly shape: EventShape | undefined;
}

export interface PreparedVoice {
  readonly events: readonly PreparedEvent[];
  /** 1 = stems up, -1 = stems down, 0 = by the notes (one voice). */
  readonly direction: 1 | -1 | 0;
  /** Indices of the events under each beam. */
  readonly beams: readonly (readonly number[])[];
}

interface PreparedStaff {
  readonly voices: readonly PreparedVoice[];
  /** The whole staff rests. */
  readonly silent: boolean;
  /** Small clefs inside the bar. */
  readonly clefs: readonly PlacedClef[];
}

export interface PreparedBar {
  readonly bar: ScoreBar;
  readonly staves: readonly PreparedStaff[];
  /** Starts of the columns in divisions. */
  readonly moments: readonly number[];
  /** Room left of the first column. */
  readonly leadPx: number;
  /** From each column to the next, the last one to the bar line. */
  readonly gaps: readonly Gap[];
}

/** Voices that are seen at all. */
function shownVoices(staff: StaffBar | undefined): readonly (readonly WrittenEvent[])[] {
  return (staff?.voices ?? []).filter((voice) => voice.some((event) => event.hidden !== true));
}

/** The staff rests for the whole bar. */
function isSilent(voices: readonly (readonly WrittenEvent[])[]): boolean {
  return voices.every((voice) => voice.every((event) => event.kind === 'rest' && event.wholeBar === true));
}

function momentsOf(
  bar: ScoreBar,
  voices: readonly (readonly WrittenEvent[])[],
  placed: readonly PlacedWords[],
): number[] {
  const starts: number[] = [];
  for (const voice of voices) for (const event of voice) if (isShown(event)) starts.push(event.start);
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

function shapeStaff(
  written: StaffBar,
  voices: readonly VoicePlan[],
  events: readonly (readonly WrittenEvent[])[],
  moments: readonly number[],
): { readonly staff: PreparedStaff; readonly extents: ReadonlyMap<number, Extent> } {
  const byColumn = new Map<number, EventPlan[]>();
  const columns = events.map((voice) => voice.map((event) => momentIndex(moments, event.start)));
  voices.forEach(({ plans }, voiceIndex) => {
    plans.forEach((plan, index) => {
      const column = columns[voiceIndex]?.[index] ?? 0;
      if (plan === undefined) return;
      const together = byColumn.get(column);
      if (together === undefined) byColumn.set(column, [plan]);
      else together.push(plan);
    });
  });
  const shapeOf = new Map<EventPlan, EventShape>();
  const extents = new Map<number, Extent>();
  for (const [column, plans] of byColumn) {
    const { shapes, leftPx, rightPx } = shapeMoment(plans);
    plans.forEach((plan, index) => {
      const shape = shapes[index];
      if (shape !== undefined) shapeOf.set(plan, shape);
    });
    extents.set(column, { leftPx, rightPx });
  }
  const prepared = voices.map(({ plans, direction, beams }, voiceIndex): PreparedVoice => ({
    direction,
    beams,
    events: (events[voiceIndex] ?? []).map((event, index) => {
      const plan = plans[index];
      return {
        event,
        column: columns[voiceIndex]?.[index] ?? 0,
        shape: plan === undefined ? undefined : shapeOf.get(plan),
      };
    }),
  }));
  const clefs = placeClefs(written, moments, extents);
  return { staff: { voices: prepared, silent: isSilent(events), clefs }, extents };
}

interface StaffOfBar {
  readonly staff: PreparedStaff;
  readonly extents: ReadonlyMap<number, Extent>;
  readonly remembered: Remembered;
}

const recallStaff = staffMemory<StaffOfBar>();

/**
 * Prepares one bar. `lanes` holds the words above it, one list for each row of words; `before` what readers remember of the
 * bar before, staff by staff; `ottava` which events stand an octave nearer to their staff.
 */
export function prepareBar(
  bar: ScoreBar,
  staffCount: number,
  lanes: readonly (readonly PlacedWords[])[],
  before: readonly Remembered[],
  ottava: OttavaMap,
): { readonly prepared: PreparedBar; readonly remembered: readonly Remembered[] } {
  const full = (bar.meter.numerator * 4 * DIVISIONS_PER_QUARTER) / bar.meter.denominator;
  const offset = bar.number === 0 && bar.lengthDivisions < full ? full - bar.lengthDivisions : 0;
  const allEvents = bar.staves.flatMap((staff) => staff.voices.flat());
  const ends = groupEnds(bar.meter, allEvents, bar.startDivisions - offset);
  const voicesOf = Array.from({ length: staffCount }, (_, index) => shownVoices(bar.staves[index]));
  const moments = momentsOf(bar, voicesOf.flat(), lanes.flat());
  const remembered: Remembered[] = [];
  const extents: ReadonlyMap<number, Extent>[] = [];
  const staves = voicesOf.map((voices, staffIndex) => {
    const written = bar.staves[staffIndex] ?? { clef: 'treble', voices: [] };
    const fifths = fifthsOf(bar, staffIndex);
    const mind = before[staffIndex] ?? new Map<string, number>();
    const octaves = voices.flatMap((voice) => voice.map((event) => ottava.get(event) ?? 0));
    const { clef, clefChanges = [] } = written;
    const changes = clefChanges.flatMap((change) => [change.start, change.clef]);
    const meter = [bar.meter.numerator, bar.meter.denominator, bar.startDivisions];
    const keys = [
      clef,
      ...changes,
      fifths,
      ...meter,
      offset,
      ...ends,
      '',
      ...moments,
      '',
      ...octaves,
      '',
      ...[...mind].flat(),
    ];
    const made = recallStaff(written.voices, keys.join(' '), () => {
      const { shown, remembered: after } = chooseAccidentals(voices, fifths, clef, mind);
      const plans = voices.map((_, voiceIndex) =>
        planVoice(bar, written, voices, voiceIndex, shown, { ends, offset }, ottava),
      );
      return { ...shapeStaff(written, plans, voices, moments), remembered: after };
    });
    remembered.push(made.remembered);
    extents.push(made.extents);
    return made.staff;
  });
  const { leadPx, gaps } = springs(bar, voicesOf, extents, moments, lanes);
  return { prepared: { bar, staves, moments, leadPx, gaps }, remembered };
}
