/** How one voice of a bar is written: stems, beams, lines, accidentals and small notes of its events. */
import type { Clef } from '../../../model/music/instrument.ts';
import { clefAt } from '../../../model/music/staff-clefs.ts';
import type { ScoreBar, StaffBar, WrittenEvent } from '../../../model/music/written.ts';
import { beamRuns } from '../accidentals-beams-rests/beaming.ts';
import { lineOf } from '../accidentals-beams-rests/clef-signs.ts';
import type { EventPlan } from './moment.ts';
import { headGlyphOf } from './note-shape.ts';
import type { OttavaMap } from '../accidentals-beams-rests/ottava.ts';
import { restLine } from '../accidentals-beams-rests/rests.ts';

const ACCIDENTAL_GLYPHS: Readonly<Record<number, string>> = {
  [-2]: '\uE264',
  [-1]: '\uE260',
  0: '\uE261',
  1: '\uE262',
  2: '\uE263',
};

/** The note farther from the middle line decides; both alike: down (Gould, Behind Bars, from memory). */
function goesUp(lines: readonly number[]): boolean {
  let highest = -Infinity;
  let lowest = Infinity;
  for (const line of lines) {
    if (line > highest) highest = line;
    if (line < lowest) lowest = line;
  }
  return highest - 3 < 3 - lowest;
}

/** Lines of the heads of an event, an octave nearer where a sign of the ottava says so. */
function linesOf(event: WrittenEvent, clef: Clef, ottava: OttavaMap): number[] {
  const octaves = ottava.get(event) ?? 0;
  return event.heads.map((head) => head.place?.line ?? lineOf(head.pitch, clef) - 3.5 * octaves);
}

export interface VoicePlan {
  readonly plans: readonly (EventPlan | undefined)[];
  readonly direction: 1 | -1 | 0;
  readonly beams: readonly (readonly number[])[];
}

/** Whether an event leaves a mark of its own in its column. */
export function isShown(event: WrittenEvent): boolean {
  return event.kind === 'notes' || (event.hidden !== true && event.wholeBar !== true);
}

/** Both voices rest at once and alike: the rest of the first one serves both (Gould, from memory). */
function restsAlike(event: WrittenEvent, other: readonly WrittenEvent[] | undefined): boolean {
  return (
    event.kind === 'rest' &&
    (other ?? []).some(
      (one) => one.kind === 'rest' && isShown(one) && one.start === event.start && one.length === event.length,
    )
  );
}

/** Where beams end, and what a short first bar lacks. */
interface BarGrouping {
  readonly ends: readonly number[];
  readonly offset: number;
}

/** Stems, beams and places of the events of one voice of a staff. */
export function planVoice(
  bar: ScoreBar,
  staff: StaffBar,
  voices: readonly (readonly WrittenEvent[])[],
  voiceIndex: number,
  shown: ReadonlyMap<object, number>,
  grouping: BarGrouping,
  ottava: OttavaMap,
): VoicePlan {
  const voice = voices[voiceIndex] ?? [];
  const inTwo = voices.length > 1;
  const direction = inTwo ? (voiceIndex === 0 ? 1 : -1) : 0;
  const clefStarts = staff.clefChanges?.map((change) => change.start);
  const beams = beamRuns(voice, grouping.ends, bar.meter, bar.startDivisions, grouping.offset, clefStarts);
  const lines = voice.map((event) => linesOf(event, clefAt(staff, event.start), ottava));
  const ups = lines.map((own) => (direction === 0 ? goesUp(own) : direction === 1));
  const beamed = new Set<number>();
  for (const run of beams) {
    const shared = goesUp(run.flatMap((index) => lines[index] ?? []));
    for (const index of run) {
      beamed.add(index);
      if (direction === 0) ups[index] = shared;
    }
  }
  const other = inTwo ? voices[1 - voiceIndex] : undefined;
  const plans = voice.map((event, index): EventPlan | undefined => {
    if (!isShown(event) || (voiceIndex === 1 && restsAlike(event, other))) return undefined;
    const isRest = event.kind === 'rest';
    return {
      event,
      up: ups[index] ?? true,
      lines: isRest ? [restLine(event, direction, other, clefAt(staff, event.start))] : (lines[index] ?? []),
      accidentals: event.heads.map((head) => {
        const alter = shown.get(head);
        return alter === undefined ? undefined : ACCIDENTAL_GLYPHS[alter];
      }),
      flagged: !isRest && event.figure.base >= 8 && !beamed.has(index),
      inTwo,
      headGlyph: headGlyphOf(event.figure.base),
      graces: (event.ornament?.graces ?? []).map((grace) => {
        const alter = shown.get(grace);
        return {
          grace,
          line: grace.line ?? lineOf(grace.pitch, clefAt(staff, event.start)) - 3.5 * (ottava.get(event) ?? 0),
          accidental: alter === undefined ? undefined : ACCIDENTAL_GLYPHS[alter],
        };
      }),
    };
  });
  return { plans, direction, beams };
}
