/**
 * Written music: what `notate` makes of played notes. Written time is counted in DIVISIONS (the term of MusicXML), whole
 * numbers, 480 to a quarter note, which holds 64ths, triplets, quintuplets and their halves exactly.
 */
import type { Clef } from './instrument.ts';
import type { ModalKey, SpelledClass, SpelledPitch } from './pitch.ts';
import type { StyleReading } from './style.ts';
import type { Syllable } from './syllable.ts';
import type { Meter } from './timeline.ts';

export const DIVISIONS_PER_QUARTER = 480;

/** One played note at its written place. Sounding pitch, spelled. */
export interface WrittenNote {
  readonly midi: number;
  readonly pitch: SpelledPitch;
  /** Divisions from the start of bar 1 (negative in a pickup). */
  readonly start: number;
  /** Divisions, at least one; may reach over bar lines. */
  readonly length: number;
  /** 1-based staff of the part (2 = left hand of a keyboard or harp) and voice. */
  readonly staff: number;
  readonly voice: number;
  /** Index into the part's `notes`. */
  readonly played: number;
  /** What was played beside this note and is printed as a sign or as small notes, not as rhythm. */
  readonly ornament?: NoteOrnament;
  /** What is sung to it. */
  readonly syllable?: WrittenSyllable;
}

export interface WrittenSyllable extends Syllable {
  /** Where it is sung to several notes: the place at which the last of them begins. */
  readonly until?: number;
}

/** A syllable under a staff, at the place of its note. */
export interface ScoreSyllable extends WrittenSyllable {
  readonly start: number;
  readonly staff: number;
}

/** A short note played just before its main note and printed small, without a value of its own. */
export interface GraceNote {
  readonly midi: number;
  readonly pitch: SpelledPitch;
  /** Index into the part's `notes`; the small note is not in the part's list of written notes. */
  readonly played: number;
  /** The line of an unpitched small note (a flam), from its drum. */
  readonly line?: number;
}

/** What is printed at the first figure of a note or chord. */
export interface OrnamentSigns {
  /** In the order played; empty where there are none. */
  readonly graces: readonly GraceNote[];
  /**
   * `trill`: by turns with the note above, `tr` over it. `tremolo`: struck again and again, or the notes of a chord by turns, too fast to
   * count: three strokes through the stem. Either lasts as long as the note, ties included.
   */
  readonly sign?: 'trill' | 'tremolo';
  /** The chord was rolled, from the lowest note up or from the highest down: a wavy line before it (MusicXML `arpeggiate`). */
  readonly roll?: 'up' | 'down';
  /** Shorter than written, a dot at the head (MusicXML `staccato`); only where one figure shows the whole note. */
  readonly staccato?: true;
}

export interface NoteOrnament extends OrnamentSigns {
  /** Indices into the part's `notes` of what the sign stands for beside the note itself; these are not in the list of written notes. */
  readonly covers: readonly number[];
}

export interface WrittenPart {
  readonly partId: string;
  /**
   * Sorted by start, then midi; one for each played note but those that an `ornament` stands for. Unpitched parts have notes too, with a
   * plain spelling.
   */
  readonly notes: readonly WrittenNote[];
  /** Share of onsets (0..1) that lay further than 0.15 quarter from the written place: how doubtful the rhythm is. */
  readonly doubtfulShare: number;
}

export interface KeySpan {
  /** Bar numbers, both included. */
  readonly from: number;
  readonly to: number;
  readonly tonic: SpelledClass;
  readonly mode: 'major' | 'minor';
  /** Signature: -7..7, sharps positive. */
  readonly fifths: number;
  /** 0..1: how clearly this key beats the next best; 1 where it is stated. */
  readonly confidence: number;
  readonly by: 'settings' | 'file' | 'note' | 'estimate';
  /** Where the key is doubtful: the other one that its chords speak for. */
  readonly rival?: RivalKey;
  /** True of a minor key whose music begins, stays and ends on the major chord of its dominant: that is the tonic, in the phrygian dominant. */
  readonly restsOnDominant?: true;
  /** A church mode with the signature of this key, where the music rests on its final or a note says so. */
  readonly modal?: ModalKey;
}

/** Another key that the music may be in as well. */
export interface RivalKey {
  readonly tonic: SpelledClass;
  readonly mode: 'major' | 'minor';
}

export interface ChordSpan {
  readonly start: number;
  readonly length: number;
  /** Number of the bar in which it starts. */
  readonly bar: number;
  /** As printed, ASCII accidentals: `Gm7`, `D/F#`. */
  readonly symbol: string;
  readonly root: SpelledClass;
  /** `major`, `minor`, `diminished`, `augmented`, `dominant-seventh`, `minor-seventh`, `major-seventh`, `half-diminished`, `diminished-seventh`, `suspended-fourth`, `major-sixth`, `minor-sixth`, `suspended-seventh`, `minor-major-seventh`, `cadential-six-four` (root: the dominant), ... */
  readonly quality: string;
  readonly bass: SpelledClass;
  /** Roman numeral with figures in the local key; '' where none is offered. */
  readonly roman: string;
  /** The key in which the numeral counts: that of the section, or where the music turns for a while. */
  readonly key?: {
    readonly tonic: SpelledClass;
    readonly mode: 'major' | 'minor';
    /** The mode of a section that is told as being in one; `mode` is then that of its third. */
    readonly modal?: string;
  };
  /** 0 where the root is in the bass, 1 the third, 2 the fifth, 3 the seventh. */
  readonly inversion?: number;
  /** Chord tones as pitch classes 0..11, root first. */
  readonly tones: readonly number[];
  /** Share of the sounding weight explained by the chord, 0..1. */
  readonly coverage: number;
}

/** Bars in which two equal values are written and a long and a short one are played. */
export interface SwingSpan {
  /** Bar numbers, both included. */
  readonly from: number;
  readonly to: number;
  /** What is swung. */
  readonly unit: 'eighth' | '16th';
  /** The long value over the short one as measured: 2 is a triplet's. */
  readonly ratio: number;
}

/** What is written of a stage, whoever leads in it. */
export interface WrittenNotes {
  readonly stageId: string;
  readonly parts: readonly WrittenPart[];
  readonly keys: readonly KeySpan[];
  readonly chords: readonly ChordSpan[];
  /** What kind of harmony the chords were read as. */
  readonly style: StyleReading;
  /** False where onsets have nothing to do with the bar lines (played without a click): notes keep their places in time. */
  readonly onGrid: boolean;
  /** Where that is so: a tempo (beats a minute) that the playing keeps to all the same. */
  readonly steadyBeat?: number;
  /** Bars that swing, in order; empty or absent where the values are played as they are written. */
  readonly swing?: readonly SwingSpan[];
  /** Sentences for "How this folder was read and measured". */
  readonly remarks: readonly string[];
}

/** The notes of a stage with the short score of them, which goes by who leads. */
export interface WrittenStage extends WrittenNotes {
  readonly reduced: ReducedScore;
}

/** Score on a few staves; the one form that `engrave` reads. Bars run parallel to the stage's timeline bars. */
export interface ReducedScore {
  readonly staves: readonly StaffInfo[];
  readonly bars: readonly ScoreBar[];
  /** Of a short score whose choirs have staves of their own: who decided it, and the share (0..1) of bars that two staves would show crowded. */
  readonly choirs?: { readonly by: 'settings' | 'density'; readonly crowded: number };
}

export interface StaffInfo {
  /** e.g. `foreground-upper`, `background-lower`. */
  readonly id: string;
  /** Shown left of the first system, e.g. `Guitar`, `Ensemble` (may be untrusted text). */
  readonly label: string;
  /** Short form left of later systems. */
  readonly abbreviation: string;
  readonly clef: Clef;
  /** Staves with the same brace id stand under one brace. */
  readonly brace: string;
  /** Neighbouring staves with the same bracket id stand under one bracket; absent or '' for none. */
  readonly bracket?: string;
  /** Left out of a system, after the first one, throughout which it rests, though its brace mate may play. */
  readonly whenPlayed?: boolean;
  /** False where players read ledger lines rather than 8va; true where absent. */
  readonly ottava?: boolean;
  readonly role: 'foreground' | 'background';
}

export interface ScoreBar {
  /** Bar number; a pickup is 0. */
  readonly number: number;
  readonly startDivisions: number;
  readonly lengthDivisions: number;
  readonly meter: Meter;
  /** True where the meter is to be printed (first bar and every change). */
  readonly showMeter: boolean;
  /** Signature in force, -7..7. */
  readonly fifths: number;
  /** Signature in force before, where it changes here. */
  readonly changedFromFifths?: number;
  readonly sectionName?: string;
  /** e.g. `♩ = 72`, `rit.`, `a tempo`; only where it is to be printed. */
  readonly tempoText?: string;
  /** Divisions from the bar line to the words of a tempo that begins to give way within the bar. */
  readonly tempoAt?: number;
  readonly chords: readonly { readonly start: number; readonly text: string }[];
  /** Entries, exits and handovers of the tune as printed, sorted by start. */
  readonly cues: readonly ScoreCue[];
  /** Dynamics that begin in this bar, by staff, then start. */
  readonly dynamics: readonly DynamicMark[];
  /** Who plays what a staff shows, where that changes; by staff, then start. */
  readonly names: readonly StaffName[];
  /** Words sung to notes that begin here, by staff, then start; absent where there are none. */
  readonly words?: readonly ScoreSyllable[];
  /** One item for each of the score's staves. */
  readonly staves: readonly StaffBar[];
  /** Unison and octave doublings that begin here, each said once for as long as it lasts: `Vn 1 + Fl 8va, to bar 12`. */
  readonly doublings: readonly string[];
  /** What the reduction left out in this bar, e.g. `inner octave of Hn`. */
  readonly leftOut: readonly string[];
}

export interface ScoreCue {
  /** Division where it happens. */
  readonly start: number;
  /** `+Hn`, `-Fl`; of a handover the name of the player who takes the tune (may be untrusted text). */
  readonly text: string;
  readonly kind: 'entry' | 'exit' | 'lead';
  /** Index of the staff over which it stands. */
  readonly staff: number;
}

/** Marks of loudness from soft to loud. */
export const DYNAMIC_LEVELS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;
export type DynamicLevel = (typeof DYNAMIC_LEVELS)[number];

/**
 * A mark of one layer, in the bar where it begins. `staff` is the index of the staff under which it stands: of a brace of two
 * the upper one, so that it stands between them. A hairpin may end in a later bar (`end` is where the next mark stands, if there is one).
 */
export type DynamicMark =
  | { readonly kind: 'level'; readonly staff: number; readonly start: number; readonly level: DynamicLevel }
  | {
      readonly kind: 'hairpin';
      readonly staff: number;
      readonly start: number;
      readonly end: number;
      readonly direction: 'crescendo' | 'diminuendo';
    };

/** Short names beside a line of a staff: `Vn 1 + Fl 8va`, `Vc + Db 8vb` (may be untrusted text). */
export interface StaffName {
  readonly start: number;
  readonly staff: number;
  readonly text: string;
  /** Over the staff for its upper line, under it for its lower one. */
  readonly place: 'above' | 'below';
}

/** Another clef from a place inside a bar on; a note begins there, and no voice of the staff goes on over it. */
export interface ClefChange {
  /** Divisions from the start of bar 1. */
  readonly start: number;
  readonly clef: Clef;
}

export interface StaffBar {
  /** Clef in force at the start of the bar. */
  readonly clef: Clef;
  /** Inside the bar, sorted by start. */
  readonly clefChanges?: readonly ClefChange[];
  /** Signature of a staff that is read in another key than the others (a transposing instrument); absent: that of the bar. */
  readonly fifths?: number;
  /** Signature in force before, where it changes here. */
  readonly changedFromFifths?: number;
  /** One or two voices; the first is the upper one. Empty where the whole staff rests (a whole-bar rest is drawn). */
  readonly voices: readonly (readonly WrittenEvent[])[];
}

/** A chord, note or rest of one voice. The events of a voice fill its bar exactly. */
export interface WrittenEvent {
  readonly kind: 'notes' | 'rest';
  /** Divisions from the start of bar 1. */
  readonly start: number;
  /** Real length in divisions (after the tuplet). */
  readonly length: number;
  readonly figure: NoteFigure;
  /** Empty for rests; low to high. */
  readonly heads: readonly NoteHead[];
  /** A rest that keeps time but is not printed (second voice). */
  readonly hidden?: boolean;
  /** In free time: a head without a stem, whose figure says only short (black) or long (open). */
  readonly stemless?: boolean;
  /** Whole-bar rest, centred. */
  readonly wholeBar?: boolean;
  /** Signs and small notes of its heads, on the first figure of a tied note only. */
  readonly ornament?: OrnamentSigns;
}

export interface NoteFigure {
  /** 1 = whole, 2 = half, 4 = quarter ... 64; MusicXML `type`. */
  readonly base: 1 | 2 | 4 | 8 | 16 | 32 | 64;
  readonly dots: 0 | 1 | 2;
  /** `actual` notes in the time of `normal`; events with the same id in a voice form one tuplet. */
  readonly tuplet?: { readonly id: number; readonly actual: number; readonly normal: number };
}

export interface NoteHead {
  readonly pitch: SpelledPitch;
  readonly tieFromPrevious: boolean;
  readonly tieToNext: boolean;
  /** Who plays it (part ids), for titles and tests. */
  readonly partIds: readonly string[];
  /** Key numbers that sound, where they are not that of `pitch` alone: in the short score some are written where their players read them. */
  readonly sounds?: readonly number[];
  /** Where an unpitched sound stands and what its head looks like; the middle line and a plain head where absent. */
  readonly place?: { readonly line: number; readonly head: 'normal' | 'x' | 'circle-x' | 'triangle' };
}
