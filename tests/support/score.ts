/**
 * Small reduced scores on plain objects, for tests of engraving. A voice is written as `pitches:figure` words, pitches
 * joined by `+`, figures as note values with dots: `C4+E4:4. r:8 (3:2 D4:8 E4:8 F4:8 ) G4:2~`. `r` is a rest, `h` a hidden
 * rest, `R` a whole-bar rest (no figure); `~` ties all its notes to the next event of the voice.
 */
import type { Clef } from '../../src/model/music/instrument.ts';
import { parsePitch } from '../../src/model/music/pitch.ts';
import { lastClef } from '../../src/model/music/staff-clefs.ts';
import type { Meter } from '../../src/model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import type {
  DynamicLevel,
  DynamicMark,
  NoteFigure,
  NoteHead,
  ReducedScore,
  ScoreBar,
  ScoreCue,
  StaffBar,
  StaffInfo,
  WrittenEvent,
} from '../../src/model/music/written.ts';

const WHOLE = 4 * DIVISIONS_PER_QUARTER;

export interface BarText {
  /** One list of voices for each staff. */
  readonly staves: readonly (readonly string[])[];
  readonly meter?: Meter;
  readonly lengthDivisions?: number;
  readonly fifths?: number;
  readonly clefs?: readonly Clef[];
  /** Clefs that change inside the bar, as `staff@quarter:clef`. */
  readonly clefChanges?: readonly string[];
  readonly sectionName?: string;
  readonly tempoText?: string;
  /** Chord symbols as `quarter:symbol` from the start of the bar. */
  readonly chords?: readonly string[];
  /** Cues as `quarter:text`, `+` for entries, `-` for exits, nothing for a handover; over the first staff of the background. */
  readonly cues?: readonly string[];
  /** Dynamics as `staff@quarter:mf`, hairpins as `staff@quarter:<quarter` or `>quarter` with the place where they end. */
  readonly dynamics?: readonly string[];
  /** Names as `staff@quarter:text`, over the staff; `_text` under it. */
  readonly names?: readonly string[];
  readonly doublings?: readonly string[];
  readonly leftOut?: readonly string[];
}

export function staffInfo(id: string, clef: Clef, changes: Partial<StaffInfo> = {}): StaffInfo {
  return {
    id,
    label: id,
    abbreviation: id.slice(0, 3),
    clef,
    brace: '',
    role: id.startsWith('foreground') ? 'foreground' : 'background',
    ...changes,
  };
}

function headsOf(text: string): NoteHead[] {
  return text.split('+').map((name) => {
    const pitch = parsePitch(name);
    if (pitch === undefined) throw new Error(`not a pitch: ${name}`);
    return { pitch, tieFromPrevious: false, tieToNext: false, partIds: ['part'] };
  });
}

/** Events of one voice of one bar; tuplets are numbered from `firstTuplet` on. */
export function voiceOf(text: string, start: number, length: number, firstTuplet = 1): WrittenEvent[] {
  const events: WrittenEvent[] = [];
  let position = start;
  let tuplet: NoteFigure['tuplet'];
  let id = firstTuplet;
  for (const word of text.trim().split(/\s+/)) {
    if (word.startsWith('(')) {
      const [actual = 3, normal = 2] = word.slice(1).split(':').map(Number);
      tuplet = { id: id++, actual, normal };
      continue;
    }
    if (word === ')') {
      tuplet = undefined;
      continue;
    }
    if (word === 'R') {
      events.push({ kind: 'rest', start, length, figure: { base: 1, dots: 0 }, heads: [], wholeBar: true });
      position += length;
      continue;
    }
    const tied = word.endsWith('~');
    const [what = 'r', value = '4'] = word.replace('~', '').split(':');
    const dots = value.split('.').length - 1;
    const base = Number.parseInt(value, 10);
    const plain = (WHOLE / base) * (2 - 1 / 2 ** dots);
    const eventLength = tuplet === undefined ? plain : (plain * tuplet.normal) / tuplet.actual;
    const figure = { base, dots, ...(tuplet === undefined ? {} : { tuplet }) } as NoteFigure;
    const rest = what === 'r' || what === 'h';
    events.push({
      kind: rest ? 'rest' : 'notes',
      start: Math.round(position),
      length: Math.round(position + eventLength) - Math.round(position),
      figure,
      heads: rest ? [] : headsOf(what).map((head) => ({ ...head, tieToNext: tied })),
      ...(what === 'h' ? { hidden: true } : {}),
    });
    position += eventLength;
  }
  return events;
}

/** Marks the second note of every tie. */
function tieOver(bars: readonly ScoreBar[]): ScoreBar[] {
  const open = new Map<string, Set<string>>();
  return bars.map((bar) => ({
    ...bar,
    staves: bar.staves.map((staff, staffIndex) => ({
      ...staff,
      voices: staff.voices.map((voice, voiceIndex) =>
        voice.map((event) => {
          const key = `${String(staffIndex)}/${String(voiceIndex)}`;
          const arriving = open.get(key) ?? new Set<string>();
          const name = (head: NoteHead): string => JSON.stringify(head.pitch);
          const heads = event.heads.map((head) => ({ ...head, tieFromPrevious: arriving.has(name(head)) }));
          open.set(key, new Set(event.heads.filter((head) => head.tieToNext).map(name)));
          return { ...event, heads };
        }),
      ),
    })),
  }));
}

function placed(words: readonly string[] | undefined, start: number): { start: number; text: string }[] {
  return (words ?? []).map((word) => {
    const colon = word.indexOf(':');
    return { start: start + Number(word.slice(0, colon)) * DIVISIONS_PER_QUARTER, text: word.slice(colon + 1) };
  });
}

function onStaff(
  words: readonly string[] | undefined,
  start: number,
): (ReturnType<typeof placed>[number] & { staff: number })[] {
  return (words ?? []).flatMap((word) => {
    const at = word.indexOf('@');
    return placed([word.slice(at + 1)], start).map((item) => ({ ...item, staff: Number(word.slice(0, at)) }));
  });
}

function dynamicsOf(words: readonly string[] | undefined, barStart: number): DynamicMark[] {
  return onStaff(words, barStart).map(({ staff, start, text }) =>
    /^[<>]/.test(text)
      ? {
          kind: 'hairpin',
          staff,
          start,
          end: barStart + Number(text.slice(1)) * DIVISIONS_PER_QUARTER,
          direction: text.startsWith('<') ? 'crescendo' : 'diminuendo',
        }
      : { kind: 'level', staff, start, level: text as DynamicLevel },
  );
}

function cueKind(text: string): ScoreCue['kind'] {
  return text.startsWith('+') ? 'entry' : text.startsWith('-') ? 'exit' : 'lead';
}

/** A score; meter, signature and clefs carry on from bar to bar. `pickup`: the first bar is bar 0 and ends at 0. */
export function scoreOf(staves: readonly StaffInfo[], texts: readonly BarText[], pickup = false): ReducedScore {
  let meter: Meter = { numerator: 4, denominator: 4 };
  let fifths = 0;
  let clefs: readonly Clef[] = staves.map((staff) => staff.clef);
  const cueStaff = Math.max(
    0,
    staves.findIndex((staff) => staff.role === 'background'),
  );
  let start = pickup ? -(texts[0]?.lengthDivisions ?? 0) : 0;
  const bars = texts.map((text, index): ScoreBar => {
    const showMeter =
      index === 0 ||
      (text.meter !== undefined &&
        (text.meter.numerator !== meter.numerator || text.meter.denominator !== meter.denominator));
    const fifthsBefore = fifths;
    meter = text.meter ?? meter;
    fifths = text.fifths ?? fifths;
    clefs = text.clefs ?? clefs;
    const lengthDivisions = text.lengthDivisions ?? (meter.numerator * WHOLE) / meter.denominator;
    const barStart = start;
    start += lengthDivisions;
    let tuplet = 1;
    const staffBars = staves.map((_, staffIndex): StaffBar => {
      const voices = (text.staves[staffIndex] ?? []).map((voice) => {
        tuplet += 20;
        return voiceOf(voice, barStart, lengthDivisions, tuplet);
      });
      const clefChanges = onStaff(text.clefChanges, barStart)
        .filter((change) => change.staff === staffIndex)
        .map((change) => ({ start: change.start, clef: change.text as Clef }));
      return { clef: clefs[staffIndex] ?? 'treble', ...(clefChanges.length === 0 ? {} : { clefChanges }), voices };
    });
    clefs = staffBars.map(lastClef);
    return {
      number: pickup ? index : index + 1,
      startDivisions: barStart,
      lengthDivisions,
      meter,
      showMeter,
      fifths,
      ...(index > 0 && fifths !== fifthsBefore ? { changedFromFifths: fifthsBefore } : {}),
      ...(text.sectionName === undefined ? {} : { sectionName: text.sectionName }),
      ...(text.tempoText === undefined ? {} : { tempoText: text.tempoText }),
      chords: placed(text.chords, barStart),
      cues: placed(text.cues, barStart).map((cue) => ({ ...cue, kind: cueKind(cue.text), staff: cueStaff })),
      dynamics: dynamicsOf(text.dynamics, barStart),
      names: onStaff(text.names, barStart).map((name) => ({
        ...name,
        text: name.text.replace(/^_/, ''),
        place: name.text.startsWith('_') ? 'below' : 'above',
      })),
      staves: staffBars,
      doublings: text.doublings ?? [],
      leftOut: text.leftOut ?? [],
    };
  });
  return { staves, bars: tieOver(bars) };
}

/** A guitar in front of an ensemble on two staves. */
export const GUITAR_AND_ENSEMBLE: readonly StaffInfo[] = [
  staffInfo('foreground', 'treble-8', { label: 'Guitar', abbreviation: 'Gtr' }),
  staffInfo('background-upper', 'treble', { label: 'Ensemble', abbreviation: 'Ens', brace: 'ensemble' }),
  staffInfo('background-lower', 'bass', { label: 'Ensemble', abbreviation: 'Ens', brace: 'ensemble' }),
];

/** A little of everything that a score can hold, for pictures and for tests of the whole. */
export function demonstrationScore(): ReducedScore {
  const seven: Meter = { numerator: 7, denominator: 8 };
  const six: Meter = { numerator: 6, denominator: 8 };
  return scoreOf(
    GUITAR_AND_ENSEMBLE,
    [
      {
        meter: { numerator: 4, denominator: 4 },
        lengthDivisions: 480,
        fifths: -2,
        tempoText: '♩ = 72',
        sectionName: 'Opening',
        staves: [['D4:8 G4:8'], [], []],
        cues: ['0:+Gtr'],
      },
      {
        staves: [['Bb4:4. A4:8 G4:8 A4:8 Bb4:8 C5:8', 'G3:2 D3+G3:2'], ['D4+G4:1'], ['G2:2 Bb2:4 A2:4']],
        chords: ['0:Gm', '2:Gm/Bb', '3:Am7b5'],
        cues: ['0:+Vn 1', '0:+Vn 2', '0:+Va', '0:+Vc', '2:+Hn'],
      },
      {
        staves: [
          ['(3:2 D5:8 C5:8 Bb4:8 ) A4:4 F#4:4 (3:2 G4:4 A4:8 )', 'D3:1'],
          ['C4+F#4+A4:2~ C4+F#4+A4:4 D4+F#4+C5:4'],
          ['D3:4. D2:8 D3:2'],
        ],
        chords: ['0:D7', '2:D7/F#'],
      },
      {
        staves: [['G4:1~', 'r:4 G3:8 D4:8 Bb3:8 D4:8 G3:4'], ['r:4 Bb4+D5:4 r:8 Bb4+D5:8 r:4', 'G4:1'], ['G2:1~']],
        chords: ['0:Gm'],
        cues: ['1:-Hn'],
        doublings: ['Vn 1 + Fl 8va'],
      },
      {
        staves: [
          ['G4:8 A4:16 Bb4:16 C5:8. D5:16 Eb5:4 D5:8 C5:8'],
          ['Eb5:4 D5:4 C5:2', 'G4:2 Eb4+G4:4 F#4:4'],
          ['G2:2 C3:2'],
        ],
        chords: ['0:Gm', '1:Gm7', '2:Cm', '3:F#dim7'],
      },
      {
        sectionName: 'Second idea',
        tempoText: 'Più mosso ♩. = 66',
        meter: six,
        fifths: 1,
        staves: [
          ['B4:8 A4:8 G4:8 D5:4 C#5:8'],
          ['D4+G4:4. E4+A4:8 F#4+A4:8 G4+B4:8'],
          ['G2:4. A2:16 B2:16 C#3:8 D3:8'],
        ],
        chords: ['0:Gmaj7', '1.5:A7#11'],
        cues: ['0:+Cl', '1.5:-Vn 2'],
      },
      {
        staves: [['E5:2.~'], ['C5+E5:4. B4+D#5:4.'], ['r:8 C3:8 E3:8 B2:4.']],
        chords: ['0:C', '1.5:B7'],
      },
      {
        meter: seven,
        staves: [['E5:8 D5:8 C5:8 B4:8 A4:4 G4:8'], ['R'], ['E2:4 E3:8 B2:4 E3:4']],
        clefs: ['treble-8', 'treble', 'bass'],
        chords: ['0:Em', '1.5:Em/D'],
      },
      {
        meter: { numerator: 5, denominator: 4 },
        fifths: 0,
        clefs: ['treble-8', 'bass', 'bass'],
        staves: [
          ['E4:32 F4:32 G4:32 A4:32 B4:32 C5:32 D5:32 E5:32 F5:8 r:8 G#4:4 A4:2'],
          ['E3+A3:1 C#4:4'],
          ['A2:2. A1:2'],
        ],
        chords: ['0:Am', '4:A'],
        cues: ['0:-Cl', '4:-Vn 1'],
      },
      { staves: [['A6:4 r:2. B2:4'], [], ['C2:2. D2:2']], chords: ['0:Dm7/C'] },
      {
        meter: { numerator: 4, denominator: 4 },
        clefs: ['treble-8', 'treble', 'bass'],
        staves: [
          ['(5:4 A4:16 B4:16 C5:16 D5:16 E5:16 ) F5:8 E5:8 D5:8 C5:8 B4:8 r:8'],
          ['C5+D5:2 B4+C5+D5:2', 'F4:4 G4:4 r:4 F4:4'],
          ['F2+C3:2 G2+D3:2'],
        ],
        chords: ['0:F6', '2:G7sus4'],
        leftOut: ['inner octave of Hn'],
      },
      { staves: [['C5:1'], ['E4+G4:1'], ['C2+C3:1']], chords: ['0:C'], cues: ['0:-Gtr'] },
    ],
    true,
  );
}
