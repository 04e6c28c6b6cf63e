/**
 * VexFlow (MIT) as a second engraver: what it would put on a staff of one bar, told pitches, clef, signature and meter alone. It
 * knows nothing of ties, courtesies and voices that share a head; those who ask leave these aside.
 */
import {
  Accidental,
  Beam,
  Element,
  GraceNote,
  KeySignature,
  Stave,
  StaveNote,
  TimeSignature,
  Tuplet,
  Voice,
} from 'vexflow/core';
import type { Clef } from '../../src/model/music/instrument.ts';
import { clefAt } from '../../src/model/music/staff-clefs.ts';
import type { ScoreBar, StaffBar, WrittenEvent } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import type { Meter } from '../../src/model/music/timeline.ts';
import type { SpelledPitch } from '../../src/model/music/pitch.ts';

const measured = { width: 10, actualBoundingBoxAscent: 5, actualBoundingBoxDescent: 5 };
const canvas = { getContext: () => ({ measureText: () => measured }) };
Element.setTextMeasurementCanvas(canvas as unknown as HTMLCanvasElement);

const KEYS = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#'];
const SIGNS = new Map([[-2, 'bb'], [-1, 'b'], [0, ''], [1, '#'], [2, '##']]); // prettier-ignore
const HEADS = { normal: '', x: '/x', 'circle-x': '/cx', triangle: '/tu' };
/** VexFlow's clef, and the octaves by which its reading of it differs. */
const CLEFS: Readonly<Record<Clef, readonly [string, number]>> = {
  treble: ['treble', 0],
  'treble-8': ['treble', -1],
  bass: ['bass', 0],
  'bass-8': ['bass', -1],
  alto: ['alto', 0],
  tenor: ['tenor', 0],
  percussion: ['percussion', 0],
};

/** A sign as it should be found on the staff: SMuFL code point and y from the top line. */
export interface ExpectedSign {
  readonly code: string;
  readonly y: number;
}

export interface SecondOpinion {
  readonly heads: readonly ExpectedSign[];
  /** Each pitch with its place, small notes too, once for every head. */
  readonly places: readonly { readonly pitch: SpelledPitch; readonly y: number }[];
  /** y of the small notes, in order of time. */
  readonly graces: readonly number[];
  /** y of the dots of single notes, and the number of dots of chords and rests. */
  readonly dots: { readonly ys: readonly number[]; readonly others: number };
  /** Flags of notes under no beam, as pointing upwards. */
  readonly flags: readonly string[];
  /** Figures of the tuplets. */
  readonly tuplets: readonly string[];
  readonly accidentals: readonly ExpectedSign[];
  readonly rests: readonly string[];
  /** By voice, in order of time: notes with a stem, and which of them VexFlow puts under one beam. */
  readonly voices: readonly {
    readonly stemmed: readonly WrittenEvent[];
    readonly beams: readonly (readonly WrittenEvent[])[];
  }[];
}

const codeOf = (text: string): string => (text.codePointAt(0) ?? 0).toString(16).toUpperCase();
const yOf = (line: number): number => 50 - 10 * line;

function keysOf(event: WrittenEvent, clef: Clef): string[] {
  return event.heads.map(({ pitch, place }) => {
    if (place === undefined && clef !== 'percussion')
      return `${pitch.step}${SIGNS.get(pitch.alter) ?? ''}/${String(pitch.octave)}`;
    const { line, head } = place ?? { line: 3, head: 'normal' };
    const steps = 30 + Math.round((line - 1) * 2);
    return `${'cdefgab'[steps % 7] ?? ''}/${String(Math.floor(steps / 7))}${HEADS[head]}`;
  });
}

/** What VexFlow asks of a note; `octaves` says under which sign of the ottava it stands. */
function structOf(
  event: WrittenEvent,
  staff: StaffBar,
  octaves: number,
  base: number = event.figure.base,
): ConstructorParameters<typeof GraceNote>[0] {
  const clef = clefAt(staff, event.start);
  const rest = event.kind === 'rest';
  const [name, shift] = CLEFS[clef];
  return {
    keys: rest ? ['b/4'] : keysOf(event, clef),
    duration: String(base),
    dots: base === event.figure.base ? event.figure.dots : 0,
    type: rest ? 'r' : 'n',
    clef: rest ? 'treble' : name,
    octaveShift: rest || clef === 'percussion' ? 0 : shift + octaves,
    autoStem: true,
  };
}

const noteOf = (event: WrittenEvent, staff: StaffBar, octaves: number): StaveNote =>
  new StaveNote(structOf(event, staff, octaves));

/** The flag of a note as VexFlow has it for stems up. */
function flagOf(note: StaveNote): string {
  const { codeFlagUp } = (note as unknown as { glyphProps: { codeFlagUp?: string } }).glyphProps;
  return codeFlagUp ?? '';
}

/** Notes tied over are not shown to VexFlow, and the voices as one: it reads several out of order (5.0.0). */
function accidentalsOf(
  events: readonly WrittenEvent[],
  staff: StaffBar,
  fifths: number,
  octavesOf: OctavesOf,
): ExpectedSign[] {
  const fresh = events
    .filter(({ kind }) => kind === 'notes')
    .map((event) => ({
      ...event,
      octaves: octavesOf(event),
      heads: event.heads.filter((head) => !head.tieFromPrevious),
    }))
    .filter(({ heads }) => heads.length > 0)
    .sort((a, b) => a.start - b.start);
  const notes = fresh.map((event) => noteOf(event, staff, event.octaves));
  Accidental.applyAccidentals([new Voice().setStrict(false).addTickables(notes)], KEYS[fifths + 7] ?? 'C');
  return notes.flatMap((note) =>
    note
      .getModifiers()
      .flatMap((sign) =>
        sign instanceof Accidental
          ? [{ code: codeOf(sign.getText()), y: yOf(note.getKeyLine(sign.checkIndex())) }]
          : [],
      ),
  );
}

/** What a pickup lacks of a full bar, in divisions: its beats are counted from its end; another short bar counts from its start. */
export function missingBefore({ number, meter, lengthDivisions }: ScoreBar): number {
  const full = (4 * DIVISIONS_PER_QUARTER * meter.numerator) / meter.denominator;
  return number === 0 ? full - lengthDivisions : 0;
}

/** Rests for what a pickup lacks. */
function fillOf(bar: ScoreBar): StaveNote[] {
  const whole = 4 * DIVISIONS_PER_QUARTER;
  let missing = missingBefore(bar);
  const rests: StaveNote[] = [];
  for (let base = 1; base <= 64; base *= 2) {
    for (; missing >= whole / base; missing -= whole / base)
      rests.push(new StaveNote({ keys: ['b/4'], duration: `${String(base)}r` }));
  }
  return rests;
}

/** VexFlow's own groups of a meter; where a half is the beat it knows them by the half. */
function groupsOf(meter: Meter): ReturnType<typeof Beam.getDefaultBeamGroups> {
  return Beam.getDefaultBeamGroups(`${String(meter.numerator)}/${String(meter.denominator)}`);
}

/** The digits of a meter as they should be found on the staff. */
export function secondMeter({ numerator, denominator }: Meter): ExpectedSign[] {
  const { topLine, bottomLine } = new TimeSignature('4/4');
  const digits = (count: number, line: number): ExpectedSign[] =>
    Array.from(String(count), (digit) => ({ code: codeOf(TimeSignature.getTimeSigCode(digit)), y: 10 * line }));
  return [...digits(numerator, topLine), ...digits(denominator, bottomLine)];
}

/** y of the dots of a single note: of one on a line they stand in the space above (Gould); VexFlow draws dots only in a document. */
function dotsOf(note: StaveNote, event: WrittenEvent): number[] {
  const line = note.getKeyLine(0);
  return Array.from({ length: event.figure.dots }, () => yOf(line % 1 === 0 ? line + 0.5 : line));
}

export type OctavesOf = (event: WrittenEvent) => number;

/** What VexFlow would put on a staff, beat by beat under its beams. */
export function secondOpinion(bar: ScoreBar, staffIndex: number, octavesOf: OctavesOf): SecondOpinion {
  const staff = bar.staves[staffIndex];
  if (staff === undefined) throw new Error('no such staff');
  const shown = staff.voices.filter((voice) => voice.some((event) => event.hidden !== true));
  const heads: ExpectedSign[] = [];
  const rests: string[] = [];
  const places: { pitch: SpelledPitch; y: number }[] = [];
  const graces: { start: number; y: number }[] = [];
  const dots = { ys: [] as number[], others: 0 };
  const flags: string[] = [];
  const tuplets: string[] = [];
  const groups = groupsOf(bar.meter);
  const voices = shown.map((events) => {
    const eventOf = new Map<unknown, WrittenEvent>();
    const notes = events.map((event) => {
      const note = noteOf(event, staff, octavesOf(event));
      eventOf.set(note, event);
      return note;
    });
    for (const id of new Set(events.flatMap(({ figure }) => figure.tuplet?.id ?? []))) {
      const own = notes.filter((_, index) => events[index]?.figure.tuplet?.id === id);
      const { actual = 3, normal = 2 } = events.find(({ figure }) => figure.tuplet?.id === id)?.figure.tuplet ?? {};
      const tuplet = new Tuplet(own, { numNotes: actual, notesOccupied: normal });
      const seen = events.some((event) => event.figure.tuplet?.id === id && event.hidden !== true);
      if (seen) tuplets.push(String(tuplet.getNoteCount()));
    }
    const runs = Beam.generateBeams([...fillOf(bar), ...notes], { groups });
    const stemmed: WrittenEvent[] = [];
    events.forEach((event, index) => {
      const note = notes[index];
      if (note === undefined || (event.kind === 'rest' && (event.hidden === true || event.wholeBar === true))) return;
      note.noteHeads.forEach((head, headIndex) => {
        const y = yOf(note.getKeyLine(headIndex));
        if (event.kind === 'rest') {
          rests.push(codeOf(head.getText()));
          return;
        }
        heads.push({ code: codeOf(head.getText()), y });
        const written = event.heads[headIndex];
        if (written !== undefined) places.push({ pitch: written.pitch, y });
      });
      if (event.kind === 'notes' && event.heads.length === 1) dots.ys.push(...dotsOf(note, event));
      else dots.others += event.figure.dots * Math.max(1, event.heads.length);
      for (const { pitch, line } of event.ornament?.graces ?? []) {
        const plain = { pitch, tieFromPrevious: false, tieToNext: false, partIds: [] };
        const heads = [line === undefined ? plain : { ...plain, place: { line, head: 'normal' as const } }];
        const small = new GraceNote(structOf({ ...event, heads }, staff, octavesOf(event), 8));
        graces.push({ start: event.start, y: yOf(small.getKeyLine(0)) });
        places.push({ pitch, y: yOf(small.getKeyLine(0)) });
      }
      if (event.kind === 'notes' && event.stemless !== true && note.hasFlag()) flags.push(codeOf(flagOf(note)));
      if (event.kind === 'notes' && note.hasStem() && event.stemless !== true) stemmed.push(event);
    });
    return { stemmed, beams: runs.map((beam) => beam.getNotes().flatMap((note) => eventOf.get(note) ?? [])) };
  });
  const accidentals =
    staff.clef === 'percussion' ? [] : accidentalsOf(shown.flat(), staff, staff.fifths ?? bar.fifths, octavesOf);
  graces.sort((a, b) => a.start - b.start);
  return { heads, places, graces: graces.map(({ y }) => y), dots, flags, tuplets, accidentals, rests, voices };
}

/** Whether the stem over these notes, one or all under a beam, goes up in a single voice; y of the outermost head away from its tip. */
export function secondStem(events: readonly WrittenEvent[], staff: StaffBar, octavesOf: OctavesOf): boolean {
  const [first] = events;
  if (first === undefined) return true;
  const heads = events.flatMap((event) => event.heads);
  return noteOf({ ...first, heads }, staff, octavesOf(first)).getStemDirection() === 1;
}

/** y of the signs of a key signature, and their code point. */
export function secondSignature(fifths: number, clef: Clef): ExpectedSign[] {
  const stave = new Stave(0, -40, 100).addClef(CLEFS[clef][0]);
  const signature = new KeySignature(KEYS[fifths + 7] ?? 'C');
  signature.setStave(stave);
  signature.format();
  const { children } = signature as unknown as { children: readonly Element[] };
  return children.map((sign) => ({ code: codeOf(sign.getText()), y: sign.getYShift() }));
}
