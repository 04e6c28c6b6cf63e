/** A score laid out as MusicXML wants it: parts, each with its bars; what all parts share stands once. */
import type { Meter } from '../../../model/music/timeline.ts';
import type { DynamicLevel, KeySpan, ScoreSyllable, StaffBar, WrittenNote } from '../../../model/music/written.ts';
import type { ModeName } from '../../../model/music/pitch.ts';
import type { SwingDirection } from '../../../notate/swing/swing-mark.ts';
import type { PitchInterval } from '../../../notate/keys/written-pitch.ts';

/** One sound of a part; an unpitched part has one for each key that it strikes. */
export interface PartSound {
  /** Unique in the document, `P3-I36`. */
  readonly id: string;
  readonly name: string;
  /** Id of the MusicXML standard sounds; '' where none is known. */
  readonly sound: string;
  /** 1..128; undefined where none is known. */
  readonly midiProgram?: number;
  /** 1..128: key number + 1, for unpitched sounds. */
  readonly midiUnpitched?: number;
}

/** What is printed beside the notes of one part, in divisions from the start of bar 1; `staff` counts its staves from 0. */
export interface PartMark {
  readonly start: number;
  readonly staff: number;
  readonly place: 'above' | 'below';
  readonly sign:
    | { readonly kind: 'words'; readonly text: string }
    | { readonly kind: 'level'; readonly level: DynamicLevel }
    | { readonly kind: 'wedge'; readonly type: 'crescendo' | 'diminuendo' | 'stop' }
    | { readonly kind: 'octave'; readonly type: 'up' | 'down' | 'stop' };
}

export interface PartBar {
  /** Signature as the player reads it. */
  readonly fifths: number;
  /** Sounding minus written. */
  readonly interval: PitchInterval;
  /** Written pitches. One item a staff, with clef and voices. */
  readonly staves: readonly StaffBar[];
  /** Sorted by start. */
  readonly marks: readonly PartMark[];
  /** Words under its staves; absent where there are none. */
  readonly words?: readonly ScoreSyllable[];
}

export interface PartLayout {
  /** `P1`, `P2` ... */
  readonly id: string;
  readonly name: string;
  readonly abbreviation: string;
  /** Neighbours with the same bracket stand under one; '' for none. */
  readonly bracket: string;
  readonly unpitched: boolean;
  /** 1..16 */
  readonly midiChannel: number;
  readonly sounds: readonly PartSound[];
  /** Made when they are written, so that the parts of a long piece need not all be held at once. Parallel to the layout's frames. */
  readonly bars: () => readonly PartBar[];
  /** All that the bars and sounds are made from but its id, where that is known: the notes, and whatever else. */
  readonly madeFrom?: { readonly notes: readonly WrittenNote[]; readonly others: readonly unknown[] };
}

/** What a bar has besides notes, the same for all parts. */
export interface BarFrame {
  readonly number: number;
  readonly startDivisions: number;
  readonly lengthDivisions: number;
  readonly meter: Meter;
  readonly showMeter: boolean;
  /** Mode of the signature; undefined where the key of the bar is not the one that the signature shows. */
  readonly mode?: KeySpan['mode'] | ModeName;
  readonly sectionName?: string;
  /** Quarters a minute. */
  readonly tempo: number;
  /** Whether a metronome mark is printed. */
  readonly showTempo: boolean;
  /** Words over the bar: of the tempo, or in its place. */
  readonly words?: string;
  /** Divisions from the bar line to them; absent at the bar line. */
  readonly wordsAt?: number;
  /** A swing that begins here, or its end. */
  readonly swing?: SwingDirection;
  /** Markup of chord symbols, without place. */
  readonly harmonies: readonly { readonly start: number; readonly markup: string }[];
}

export interface ScoreLayout {
  readonly frames: readonly BarFrame[];
  readonly parts: readonly PartLayout[];
}

/** Whether a pitch can be written at all: MusicXML has octaves 0 to 9 (type `octave` of the schema). */
export function hasOctave({ octave }: { readonly octave: number }): boolean {
  return octave >= 0 && octave <= 9;
}
