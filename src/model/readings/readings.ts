/**
 * Readings: what `analyse` measures, and the findings `advise` draws from them. Names follow the data export.
 */
import type { FormReading } from './form.ts';
import type { MeasuredReading } from './measured.ts';
import type { PacingReading } from './pacing.ts';
import type { SpacingReading } from './spacing.ts';
import type { Meter } from '../music/timeline.ts';
import type { EntryKind, ExitKind } from './pacing.ts';

export interface RegisterReading {
  readonly partId: string;
  readonly bar: number;
  readonly low: number;
  readonly high: number;
  /** Duration-weighted mean sounding pitch, MIDI key number with fraction. */
  readonly centre: number;
}

/** A span of bars in which a part sounds without a whole silent bar. */
export interface PresenceSpan {
  readonly partId: string;
  /** First and last sounding bar. */
  readonly from: number;
  readonly to: number;
  readonly entry: EntryKind;
  readonly exit: ExitKind;
  /** Written place of the first onset and the last end of sound, in quarters from bar 1. */
  readonly firstQuarters: number;
  readonly lastQuarters: number;
}

/** Estimated level of a part in one beat; undefined parts are silent. */
export interface BeatBalance {
  readonly bar: number;
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly foregroundDb?: number;
  readonly backgroundDb?: number;
  readonly marginDb?: number;
  /** Estimated level in dB by part id, sounding parts only. */
  readonly partsDb: Readonly<Record<string, number>>;
}

/** One bar: medians over its beats. Values are missing where nothing sounds on that side. */
export interface BarBalance {
  readonly bar: number;
  readonly foregroundDb?: number;
  readonly backgroundDb?: number;
  readonly marginDb?: number;
  /** Share of the foreground's energy under the background's excitation, 0..1; only where both sound. */
  readonly maskedShare?: number;
  /** What is left of the foreground's audibility beside the background, 0..1, by another model of hearing; only where both sound. */
  readonly audibleShare?: number;
  readonly partsDb: Readonly<Record<string, number>>;
}

/** How the level of a part was estimated, for "how it was measured". */
export interface LevelAssumption {
  readonly partId: string;
  /** One sentence: figures used and where they come from, or the assumption where no figure is published. */
  readonly text: string;
  /** True where no published figure exists and an assumption stands in. */
  readonly assumed: boolean;
}

export interface RangeNote {
  readonly bar: number;
  /** 1-based, with fraction. */
  readonly beat: number;
  readonly midi: number;
}

export interface RangeReading {
  readonly partId: string;
  /** Lowest and highest sounding pitch used. */
  readonly low: number;
  readonly high: number;
  readonly writtenLow: number;
  readonly writtenHigh: number;
  /** Limits used (sounding); undefined where the instrument is unknown. */
  readonly absolute?: { readonly low: number; readonly high: number };
  readonly practical?: { readonly low: number; readonly high: number };
  readonly outside: readonly RangeNote[];
  readonly edge: readonly RangeNote[];
  /** Source titles or "set for this player". */
  readonly sources: readonly string[];
}

export interface Doubling {
  readonly partIds: readonly [string, string];
  /** `unison`, `octave`, `two-octaves`, `third`, `sixth`; the second part relative to the first. */
  readonly interval: string;
  readonly semitones: number;
  readonly from: number;
  readonly to: number;
}

export interface ChordCoverage {
  /** Index into the stage's chords. */
  readonly chord: number;
  /** Pitch class 0..11 (as text) to ids of the parts that sound it. */
  readonly covered: Readonly<Record<string, readonly string[]>>;
  /** Pitch classes of the chord that nobody sounds. */
  readonly missing: readonly number[];
}

/** Who stands under a chord, and what becomes of it without the foreground. */
export interface ChordGround {
  /** Index into the stage's chords. */
  readonly chord: number;
  /** Parts that have the lowest pitch for at least half of the chord's sounding time, unisons together; empty where none has. */
  readonly bassPartIds: readonly string[];
  /** True where the bass passes to other parts: none of those that had it in the chord before has it here. */
  readonly handover: boolean;
  /** Pitch classes of the chord that nobody sounds once the foreground is left out, those missing anyway included. */
  readonly missingWithoutForeground: readonly number[];
}

export type NonChordKind =
  | 'passing'
  | 'neighbour'
  | 'suspension'
  | 'retardation'
  | 'appoggiatura'
  | 'anticipation'
  | 'escape'
  | 'pedal'
  | 'free';

/** A note, or the stretch of one, that is foreign to the chord in force. */
export interface NonChordTone {
  /** Index into the stage's chords. */
  readonly chord: number;
  readonly partId: string;
  readonly bar: number;
  /** Where it is foreign: not before the chord begins, nor after it ends. */
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly midi: number;
  readonly kind: NonChordKind;
}

/** Tones that want to go on by step when their chord goes. */
export type TendencyKind = 'leading-note' | 'seventh';

/**
 * `resolved`: the leading note rises by a semitone, the seventh falls by a step; `held`: the tone lies; `taken-over`: another part plays the note
 * of resolution; `left`: it goes elsewhere, or stops.
 */
export type ResolutionOutcome = 'resolved' | 'held' | 'taken-over' | 'left';

/** A leading note or a seventh of a dominant or diminished chord, at the moment when the root changes. */
export interface Resolution {
  /** Index of the chord that it belongs to. */
  readonly chord: number;
  readonly kind: TendencyKind;
  readonly partId: string;
  /** Bar and place where the note begins. */
  readonly bar: number;
  readonly startQuarters: number;
  readonly midi: number;
  /** What the same line plays next; absent where it rests. */
  readonly to?: number;
  readonly outcome: ResolutionOutcome;
  /** It is the highest or the lowest note of that moment. */
  readonly isOuter: boolean;
}

/** What may be awkward for the hands, the tongue or the feet, whatever the range. */
export type AwkwardKind =
  'string-skip' | 'double-stop' | 'repeated-notes' | 'harp-pedals' | 'timpani-tuning' | 'hand-span' | 'brass-endurance';

/** All places of one kind in a part: how many, and the hardest of them. A question to the player, no verdict. */
export interface AwkwardPlaces {
  readonly kind: AwkwardKind;
  readonly count: number;
  readonly bar: number;
  readonly beat: number;
  /** Sounding pitches of the hardest place, MIDI key numbers. */
  readonly midi: readonly number[];
  /** How hard: strings skipped, semitones, notes a second or seconds, as the kind has it. */
  readonly amount: number;
  /** What is usually taken for playable, in the same unit. */
  readonly usual: number;
}

/** What a timpani part asks of drums and pedals: one player with a set of pedal drums is assumed. */
export interface TimpaniReading {
  /** The drums it needs, low to high: diameter in inches and the pitches shared out to it, MIDI key numbers. */
  readonly drums: readonly { readonly inches: number; readonly midi: readonly number[] }[];
  /** How many different pitches it has in all, and at most from one rest to the next that lets a drum be retuned. */
  readonly pitches: number;
  readonly mostBetweenRests: number;
  /** Changes of a drum's pitch, those in rests among them. */
  readonly retunings: number;
}

/** Numbers about how a part lies for its player; what they mean is for the player to say. */
export interface PlayabilityReading {
  readonly partId: string;
  /** Longest stretch without a place to breathe and what one breath lasts there (a planning value); only for who needs breath. */
  readonly breath?: {
    readonly from: number;
    readonly to: number;
    readonly seconds: number;
    readonly breathSeconds: number;
    /** Longest stretch without a pause or a written rest, only where it is half as long again: long notes in it may give up their ends for a breath, and nothing says which. */
    readonly unbroken?: { readonly from: number; readonly to: number; readonly seconds: number };
  };
  /** Widest step to a note that follows at once, of wind, brass and vocal lines; semitones, positive upward. */
  readonly widestLeap?: { readonly bar: number; readonly beat: number; readonly semitones: number };
  /** Shares of the sounding time, 0..1, inside the practical range, between it and the absolute one, and outside; only where ranges are known. */
  readonly time?: { readonly practical: number; readonly edge: number; readonly outside: number };
  /** Middle pitch of the sounding time: half of it lies at or below this MIDI key number. */
  readonly medianMidi: number;
  readonly timpani?: TimpaniReading;
  readonly awkward: readonly AwkwardPlaces[];
}

export interface MelodyNote {
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly midi: number;
  readonly partId: string;
}

export interface StageReadings {
  readonly stageId: string;
  readonly register: readonly RegisterReading[];
  readonly presence: readonly PresenceSpan[];
  readonly beats: readonly BeatBalance[];
  readonly balance: readonly BarBalance[];
  /** The same with every part by its own dynamic; only where parts are on two scales (`analyse/level/two-scales`), and `balance` is what may be told. */
  readonly asShaped?: readonly BarBalance[];
  /** Balance by recordings of the parts; absent where there are none. */
  readonly measured?: MeasuredReading;
  readonly levelAssumptions: readonly LevelAssumption[];
  readonly ranges: readonly RangeReading[];
  readonly doublings: readonly Doubling[];
  readonly coverage: readonly ChordCoverage[];
  /** Parallel to the stage's chords. */
  readonly grounds?: readonly ChordGround[];
  readonly nonChordTones?: readonly NonChordTone[];
  readonly resolutions?: readonly Resolution[];
  readonly playability?: readonly PlayabilityReading[];
  readonly melody: readonly MelodyNote[];
  readonly spacing?: SpacingReading;
  readonly pacing?: PacingReading;
  readonly form?: FormReading;
}

/** A played note that a finding is about. */
export interface FoundNote {
  readonly partId: string;
  /** Index into the part's `notes`. */
  readonly played: number;
}

export type FindingLevel = 'fix' | 'look' | 'note';

export interface Finding {
  /** A rule name fixed by the data contract, e.g. `outside-range`. */
  readonly rule: string;
  readonly level: FindingLevel;
  readonly from: number;
  readonly to: number;
  readonly partIds: readonly string[];
  /** What was measured, in the musician's words; plain text. */
  readonly message: string;
  /** What one might do; defers to the player and the arranger. */
  readonly advice: string;
  /** Source, or `common practice, no source`. */
  readonly source: string;
  /** Notes that the finding is about, the one that its message names first; absent where it is about no single notes. */
  readonly notes?: readonly FoundNote[];
  /** Reason given in the settings, where the finding was judged and accepted. */
  readonly accepted?: string;
}

/**
 * What was done to a part that both stages have:
 *
 *     extended     plays in bars in which it was silent
 *     silenced     is silent in bars in which it played
 *     rewritten    other pitches
 *     transposed   the same music higher or lower: the whole part by any interval, single bars by octaves
 *     rhythm       the same pitches in another written rhythm
 *     moved        the same music a bar, a beat or half a beat beside where it stood
 *     timing       the same written music played otherwise than another take or export would; no change of the music
 *     balance      the same music louder or softer by estimate
 *     muted        the same written music, made silent by volume, expression or another controller
 *     unmuted      the same written music, heard again
 */
export type PartEditKind =
  | 'extended'
  | 'silenced'
  | 'rewritten'
  | 'transposed'
  | 'rhythm'
  | 'moved'
  | 'timing'
  | 'balance'
  | 'muted'
  | 'unmuted';

/** By how much and to which side a passage was moved: `a bar later`, `half a beat earlier`, `two beats later`, in compound meters `an eighth earlier` too. */
export type MovedBy = `${string} ${'earlier' | 'later'}`;

/**
 * How a part lies around its written places now, told of all its notes together:
 *
 *     quantised       on the grid, where it was played by hand
 *     closer, freer   less or more spread
 *     earlier, later  as a whole
 */
export interface PartTiming {
  readonly how: 'quantised' | 'closer' | 'freer' | 'earlier' | 'later';
  /** Of `earlier` and `later` by how much, else the spread (standard deviation, robust) in the later stage. */
  readonly milliseconds: number;
  /** Spread in the earlier stage; not of `earlier` and `later`. */
  readonly millisecondsBefore?: number;
}

/**
 * How the notes of some bars came of those that were there: others were put to them, some fell out and the rest stands, each is struck several
 * times in place of once, so fast that it is a tremolo, or is held where it was struck several times; some fell out and others of the rest are held
 * longer, or others were put between those of before, which are held shorter; or chords have the same tones in other octaves.
 */
export type NotesWay =
  'filled' | 'filledShorter' | 'thinned' | 'thinnedLonger' | 'repeated' | 'tremolo' | 'sustained' | 'revoiced';

export interface PartEdit {
  /** Id in the later stage. */
  readonly partId: string;
  readonly kind: PartEditKind;
  /** Bar numbers of the later stage. */
  readonly bars: readonly number[];
  /** Of `transposed`: upwards positive. */
  readonly semitones?: number;
  /** Of `rhythm`, where all notes begin where they began: how they are held. */
  readonly held?: 'longer' | 'shorter' | 'otherwise';
  /** Of `rewritten` and `rhythm`, where it is plain. */
  readonly how?: NotesWay;
  /** Of `moved`. */
  readonly moved?: MovedBy;
  /** Of `moved`: true where other notes of the part stayed in those bars. */
  readonly isInPart?: boolean;
  readonly timing?: PartTiming;
  /** Of `balance`: median change of the estimated level, louder positive. */
  readonly db?: number;
  /** Where it is told together with another part's: see `given`, `doublings`, `entries` and `chords` of the change. */
  readonly toldWith?: 'given' | 'doubling' | 'entry' | 'chords';
}

/** Neighbouring bars of the later stage in which several parts have other notes, most of them in the rhythm of before, and the chords other names. */
export interface ChordChange {
  readonly bars: readonly number[];
  /** Names of the chords (estimated) in each of those bars, ASCII accidentals, several with a space between: `Am B7`. */
  readonly before: readonly string[];
  readonly after: readonly string[];
  /** True where all who have other notes there have them in the rhythm of before. */
  readonly isSameRhythm: boolean;
}

/** Bars that stand one after another in both stages, by the number of the first. */
export interface BarRun {
  readonly before: number;
  readonly after: number;
  readonly count: number;
}

/** Bars of the later stage, both ends included, in which the mean tempo differs; quarter notes per minute, medians. */
export interface TempoChange {
  readonly from: number;
  readonly to: number;
  readonly before: number;
  readonly after: number;
}

export interface MeterDifference {
  readonly from: number;
  readonly to: number;
  readonly before: Meter;
  readonly after: Meter;
}

/** The same music with its bar lines elsewhere: bars of the later stage, and of the earlier one, both ends included. */
export interface Rebarring extends MeterDifference {
  readonly fromBefore: number;
  readonly toBefore: number;
}

/** Bars of the later stage, both ends included, in which every part with pitch sounds higher (or lower, negative) by this interval. */
export interface ShiftedBars {
  readonly from: number;
  readonly to: number;
  readonly semitones: number;
}

/** Music that one part played in these bars and another plays there now. */
export interface GivenPassage {
  /** Ids in the earlier and in the later stage. */
  readonly from: string;
  readonly to: string;
  /** Octaves by which it sounds higher now; 0 at the same pitch. */
  readonly octaves: number;
  /** Of a part that played several notes at a time, where its highest or its lowest ones alone went. */
  readonly voice?: 'top' | 'bass';
  /** Bar numbers of the later stage. */
  readonly bars: readonly number[];
}

/** A part that now plays another one's line in these bars of the later stage, and did not before. */
export interface NewDoubling {
  readonly partId: string;
  readonly doubles: string;
  /** Octaves above that line; 0 in unison. */
  readonly octaves: number;
  readonly bars: readonly number[];
}

/** A line that begins later than it did, as the later stage numbers its bars. */
export interface LaterEntry {
  readonly partId: string;
  readonly before: number;
  readonly after: number;
}

/** A stage in a few numbers. */
export interface StageMeasures {
  /** Onsets per bar, all bars counted. */
  readonly notesPerBar: number;
  /** Parts that sound in a bar, all bars counted. */
  readonly partsPerBar: number;
  /** Lowest and highest sounding pitch; missing where nothing with pitch sounds. */
  readonly low?: number;
  readonly high?: number;
  /** Median of the bars' margins; missing where none could be estimated. */
  readonly marginDb?: number;
}

/** What lets a finding appear or go: another tempo, pitch or meter, bars that came, went or moved, or what was done to a part, by its id in the stage that has it. */
export type FindingCause =
  | { readonly kind: 'tempo' | 'pitch' | 'meter' | 'bars' }
  | { readonly kind: 'added' | 'removed' | 'part'; readonly partId: string };

/** What changed from one stage to the next. */
export interface StageChange {
  readonly before: string;
  readonly after: string;
  readonly parts: {
    /** Parts that play now and did not before. Those that came of a renaming, a split or a union are not among them. */
    readonly added: readonly string[];
    readonly removed: readonly string[];
    /** Every part with an edit other than `timing`, with the bars of all its edits, as the later stage numbers them. */
    readonly changed: readonly { readonly partId: string; readonly bars: readonly number[] }[];
    /** One part under another name, and where another instrument has it now under another id. */
    readonly renamed: readonly { readonly before: string; readonly after: string }[];
    readonly split: readonly { readonly before: string; readonly after: readonly string[] }[];
    readonly joined: readonly { readonly before: readonly string[]; readonly after: string }[];
  };
  /**
   * Bar numbers of the later stage in which anything differs but tempo, timing and a transposition of the whole piece. Bars
   * that were cut have no number there: they stand in `barOrder`.
   */
  readonly bars: readonly number[];
  /** By how much the whole piece sounds higher; 0 where it does not. */
  readonly semitones: number;
  readonly barOrder: {
    /** Numbers of the later stage, with bars after them that both stages have. */
    readonly inserted: readonly number[];
    /** Numbers of the later stage, after all that both stages have. */
    readonly appended: readonly number[];
    /** Those of them that are others once more, all by numbers of the later stage: `after` repeats `before`. */
    readonly repeats?: readonly BarRun[];
    /** Numbers of the earlier stage. */
    readonly cut: readonly number[];
    readonly moved: readonly BarRun[];
    /** Bars that stand in both stages and in the same order; with `moved` the whole map from bar to bar. */
    readonly kept: readonly BarRun[];
  };
  readonly tempo: readonly TempoChange[];
  readonly meter: readonly MeterDifference[];
  readonly rebarred: readonly Rebarring[];
  /** Where not the whole piece was moved to another pitch. */
  readonly shifted: readonly ShiftedBars[];
  readonly given: readonly GivenPassage[];
  readonly doublings: readonly NewDoubling[];
  readonly entries: readonly LaterEntry[];
  readonly chords: readonly ChordChange[];
  readonly edits: readonly PartEdit[];
  /** Indices into the findings of the later stage, of the earlier one, and pairs of both. */
  readonly findings: {
    readonly appeared: readonly number[];
    readonly went: readonly number[];
    /** Of those that appeared and went: where nothing was done to what they speak of. */
    readonly unexplained: { readonly appeared: readonly number[]; readonly went: readonly number[] };
    /** One that was parted, or told with another, stands in several pairs. */
    readonly stayed: readonly (readonly [number, number])[];
  };
  /** By index what let each of the findings that appeared and of those that went do so, as far as one thing alone did. */
  readonly causes?: {
    readonly appeared: ReadonlyMap<number, readonly FindingCause[]>;
    readonly went: ReadonlyMap<number, readonly FindingCause[]>;
  };
  readonly measures: { readonly before: StageMeasures; readonly after: StageMeasures };
}
