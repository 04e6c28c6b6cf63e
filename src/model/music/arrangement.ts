/**
 * The Arrangement: what `assemble` makes of a folder and everything after it reads. Plain, readonly, no functions.
 * Positions are in quarter notes from the start of bar 1 (`...Quarters`, a pickup is negative) and in seconds from the
 * start of the stage's first bar (`...Second`). Pitches are SOUNDING MIDI key numbers.
 */
import type { Problem } from '../../problems/problem.ts';
import type { Ensemble } from './ensemble.ts';
import type { Family } from './instrument.ts';
import type { Timeline } from './timeline.ts';
import type { ModalKey, SpelledClass } from './pitch.ts';
import type { Style } from './style.ts';
import type { AudioKind } from '../recordings/audio-kinds.ts';
import type { PlacedBy } from '../recordings/placed-by.ts';
import type { Stem } from '../recordings/stems.ts';
import type { SungSyllable } from './syllable.ts';

export interface Arrangement {
  readonly title: string;
  readonly subtitle?: string;
  readonly arranger?: string;
  readonly for?: string;
  readonly date?: string;
  readonly paper: 'a4' | 'letter';
  /** In order; the last one is the current stage. At least one. */
  readonly stages: readonly Stage[];
  readonly memos: readonly Memo[];
  readonly files: readonly FileRecord[];
  /** Of the stages that have some, in their order. */
  readonly audio?: readonly StageAudio[];
  /** Thresholds by rule name, from the settings. */
  readonly limits: Readonly<Record<string, number>>;
  readonly accepted: readonly AcceptedFinding[];
  readonly problems: readonly Problem[];
  /** Defaults and guesses in force, one sentence each ("No title was given: the folder's name is used."). */
  readonly assumptions: readonly string[];
}

export interface FileRecord {
  readonly path: string;
  readonly sha256: string;
  readonly use: FileUse;
}

export type FileUse = 'stage' | 'settings' | 'notes' | 'audio' | 'not used';

/** An audio file that lies beside a stage. */
export interface StageAudio {
  readonly stageId: string;
  /** Path in the input folder. */
  readonly file: string;
  readonly sha256: string;
  readonly kind: AudioKind;
  /** Size of the file. */
  readonly bytes: number;
  /** Second of the file at which the stage's first bar begins; negative where the file begins later than the music. */
  readonly firstBarSecond: number;
  /** How that is known. */
  readonly placedBy: PlacedBy;
}

export interface Stage {
  /** Safe for file names and ids: `[a-z0-9-]`, unique, e.g. `stage-02-strings`. */
  readonly id: string;
  /** 1-based place in the order. */
  readonly order: number;
  readonly title: string;
  readonly remark?: string;
  /** Sounding duration from the first bar to the end of the last bar, in seconds. */
  readonly seconds: number;
  readonly timeline: Timeline;
  /** Recordings of parts that belong to it, in order of file; absent where there are none. */
  readonly stems?: readonly Stem[];
  readonly sections: readonly Section[];
  /** In score order, foreground parts where score order puts them. */
  readonly parts: readonly Part[];
  /** Who is in front, span by span; bars in no span have nobody in front. */
  readonly foreground: readonly ForegroundSpan[];
  /** Lines above the tune that a note announces: a descant, a counter-melody. Left out where none is. */
  readonly announced?: readonly AnnouncedLine[];
  /** Parts that a note says are softer, or louder, in some bars. Left out where none is. */
  readonly announcedLevels?: readonly AnnouncedLevel[];
  /** True where nobody said who is in front in some bar and it was guessed. */
  readonly foregroundGuessed: boolean;
  /** What kind of ensemble the parts make, as far as they tell. */
  readonly ensemble: Ensemble;
  /** What kind of music it is, where the settings say so. */
  readonly style?: Style;
  /** Staves that the short score may have, where the settings say it. */
  readonly staves?: 4 | 5 | 6;
  /** Key signatures stated in the files or the settings, by bar number; empty where none is stated. */
  readonly statedKeys: readonly StatedKey[];
  /** What had to be guessed about this stage or should be asked, in sentences. */
  readonly questions: readonly Question[];
}

/** Name of the one section of a stage for which nobody named any. */
export const WHOLE_PIECE = 'Whole piece';

export interface Section {
  readonly name: string;
  /** Bar numbers, both included. */
  readonly from: number;
  readonly to: number;
}

/** Who is in front over some bars. Spans are in order and share no bar; in a bar of none nobody is in front. */
export interface ForegroundSpan {
  /** The leader. */
  readonly partId: string;
  readonly from: number;
  readonly to: number;
  /** Where the tune begins and ends, where not at the bar lines: a pickup begins before bar `from`. */
  readonly startQuarters?: number;
  readonly endQuarters?: number;
  /** 0..1: how sure it is that this part leads here; 1 where somebody said so. */
  readonly certainty: number;
  /** True where another reading is about as good: what rests on the leader is then asked, not judged. */
  readonly weak: boolean;
  /** Who leads in the other reading, where the leader was guessed and there is one. */
  readonly rivalId?: string;
  /** Parts that play the leader's tune along with it: they belong to the foreground in these bars. */
  readonly shared: readonly SharedLead[];
}

/** Bars in which a note announces a part above the tune. */
export interface AnnouncedLine {
  readonly partId: string;
  readonly from: number;
  readonly to: number;
}

/** Bars in which a note says that a part is softer, or louder, than before or than others. */
export interface AnnouncedLevel extends AnnouncedLine {
  readonly way: 'softer' | 'louder';
}

export interface SharedLead {
  readonly partId: string;
  readonly from: number;
  readonly to: number;
  /** Octaves above the leader's tune, negative below it, 0 in unison. */
  readonly octaves: number;
}

export interface StatedKey {
  readonly fromBar: number;
  readonly tonic: SpelledClass;
  readonly mode: 'major' | 'minor';
  /** A church mode with the notes of that key, where a note names one. */
  readonly modal?: ModalKey;
  /** True of a minor key that a note calls by its dominant, as the phrygian dominant. */
  readonly isPhrygianDominant?: true;
  readonly by: 'settings' | 'file' | 'note';
}

export interface Question {
  readonly code:
    | 'instrument-guessed'
    | 'instrument-clash'
    | 'instrument-unknown'
    | 'ambiguous-name'
    | 'foreground-guessed'
    | 'section-patch'
    | 'key-doubtful'
    | 'other';
  /** One sentence that a musician can answer, naming the setting that answers it. */
  readonly text: string;
  readonly partId?: string;
}

export interface Part {
  /** `[a-z0-9-]`, unique in the stage, the same for the same part in every stage. */
  readonly id: string;
  /** As the user calls it (untrusted text). */
  readonly name: string;
  /** For charts and the score, e.g. `Vn 1`, `Hn`. At most about 8 characters (untrusted text). */
  readonly abbreviation: string;
  /** Catalogue id, or `unknown`. */
  readonly instrument: string;
  /** Name of the instrument as the catalogue has it, or `unknown instrument`. */
  readonly instrumentName: string;
  /** `note` where a note of the folder says which instrument the track is. */
  readonly recognisedBy: 'settings' | 'name' | 'note' | 'program' | 'channel' | 'none';
  readonly family: Family;
  /** Foreground where the part is in front in any bar. */
  readonly role: 'foreground' | 'background';
  /** Number of this desk or player group among its kind: 1 for Violin I, 2 for Violin II; undefined where not numbered. */
  readonly number?: number;
  /** Catalogue ids of all that a track named after a group holds, where a note names them (two trombones and a tuba); absent elsewhere. */
  readonly members?: readonly string[];
  /** Strings of the instrument where its name or a note states their number (a guitar of seven strings); absent where it does not. */
  readonly strings?: number;
  readonly players: number;
  /** `name` where the track's name states it (`Horns a 4`), `note` where a note does. */
  readonly playersBy: 'settings' | 'name' | 'note' | 'default';
  /** sounding = written + semitones; `diatonicSteps` spells the same interval. */
  readonly transposition: { readonly semitones: number; readonly diatonicSteps: number };
  /** True for percussion without pitch: left out of range, harmony and register readings. */
  readonly unpitched: boolean;
  readonly tracks: readonly TrackRecord[];
  /** Sorted by startQuarters, then midi. */
  readonly notes: readonly PlayedNote[];
  readonly controlNotes: readonly ControlNote[];
  /** Words that its notes are sung to, in their order; absent where the files have none. */
  readonly words?: readonly SungSyllable[];
  readonly latenessMs: { readonly median: number; readonly spread: number };
  /** dB added to the estimated level. */
  readonly trimDb: number;
  /** Where the settings say the level (`trim`, 0 too). */
  readonly levelBy?: 'settings';
  readonly dynamics: DynamicsSource;
  /** Range set by the user for this player, sounding MIDI key numbers. */
  readonly range?: { readonly low: number; readonly high: number };
}

/** What shapes the loudness of a part's notes; `constant` where nothing in the file does. */
export type DynamicsSource = 'velocity' | 'cc1' | 'cc2' | 'cc11';

/** A track whose notes another track of the part has too: they are counted once. */
export interface TrackCopy {
  /** Place of the other track among those of the part. */
  readonly of: number;
  readonly notes: number;
  readonly startQuarters: number;
  readonly endQuarters: number;
}

export interface TrackRecord {
  readonly file: string;
  readonly track: number;
  readonly channel: number;
  readonly name: string;
  readonly program?: number;
  /** Articulation words found in the name (`legato`, `pizz`), lower case; '' where there are none. */
  readonly articulation: string;
  /** Controller curves of this track, by controller number (1, 2, 7, 11). */
  readonly curves: readonly ControllerCurve[];
  /** Where it is a copy of another track of the part. */
  readonly copy?: TrackCopy;
}

export interface ControllerCurve {
  readonly controller: number;
  /** Sorted; a setting holds until the next. Before the first point the first setting is NOT assumed: see `settingBefore`. */
  readonly points: readonly { readonly quarters: number; readonly setting: number }[];
  /** What holds before the first point (the reset value: 100 for controller 7, 127 for 11, 0 for 1 and 2). */
  readonly settingBefore: number;
}

export interface PlayedNote {
  readonly midi: number;
  /** 1..127 */
  readonly velocity: number;
  /** As performed (lateness NOT taken out). */
  readonly startQuarters: number;
  /** Key-up. */
  readonly endQuarters: number;
  readonly startSecond: number;
  readonly endSecond: number;
  /** Where the sound is stopped: the later of key-up and pedal-up for pedalled keyboards and harp. */
  readonly soundingEndSecond: number;
  /** Index into the part's `tracks`. */
  readonly trackIndex: number;
}

export interface ControlNote {
  readonly midi: number;
  readonly second: number;
  readonly quarters: number;
  /** Why this is held to be a key switch and not music. */
  readonly reason: string;
}

export interface Memo {
  readonly file: string;
  readonly line: number;
  readonly heading: string;
  /** Markdown, untrusted. */
  readonly markdown: string;
  readonly stageId?: string;
  readonly from?: number;
  readonly to?: number;
  readonly partIds: readonly string[];
  readonly kind: MemoKind;
  /** As the note has it (untrusted text). */
  readonly date?: string;
  /** Where a reader of a dossier wrote it. */
  readonly answer?: Answer;
  /** What its text speaks of, one matter after another, where it names bars, parts or something that is done. */
  readonly matters?: readonly Matter[];
}

/** Things that are done to music, as notes have words for them. */
export type Deed =
  | 'lower'
  | 'higher'
  | 'slower'
  | 'faster'
  | 'louder'
  | 'softer'
  | 'rests'
  | 'cut'
  | 'fresh'
  | 'split'
  | 'joined'
  | 'named';

/** Sentences of a note about one matter. */
export interface Matter {
  /** Untrusted text. */
  readonly text: string;
  /** Bars that it names; without a first one as far back, without a last one as far on. */
  readonly bars: readonly { readonly from?: number; readonly to?: number }[];
  readonly partIds: readonly string[];
  readonly deeds: readonly Deed[];
  /** True where the clause that tells of a deed names nobody. */
  readonly isOfAll: boolean;
}

/** What a note may be; the last three are answers to a question or a finding alone. */
export const MEMO_KINDS = ['remark', 'decision', 'question', 'answer', 'accepted', 'mended'] as const;

export type MemoKind = (typeof MEMO_KINDS)[number];

/** What is known of an answer besides its text. All texts are untrusted. */
export interface Answer {
  /** Who wrote it; '' where nobody says. */
  readonly from: string;
  /** Hash of the dossier that was answered. */
  readonly about?: string;
  /** Which question it answers, by its name. */
  readonly question?: string;
  /** Rule of the finding that it answers. */
  readonly finding?: string;
  /** Where it was written, if it stands elsewhere now or nowhere. */
  readonly was?: AnswerPlace;
}

/** The place of an answer in the dossier that was answered, and what became of it. */
export interface AnswerPlace {
  /** As the answer names the stage, or its title; '' for the whole piece. */
  readonly stage: string;
  readonly from?: number;
  readonly to?: number;
  /**
   * - `moved`: it stands in the current stage, at the bars that these bars are there.
   * - `cut`: all its bars were cut since; it stays with its stage.
   * - `changed`: the stage has other music now, and what it was is not known.
   * - `lost`: no stage of the folder is called so, or its bars or parts are not there.
   */
  readonly fate: 'moved' | 'cut' | 'changed' | 'lost';
}

export interface AcceptedFinding {
  readonly rule: string;
  readonly from?: number;
  readonly to?: number;
  readonly partIds?: readonly string[];
  readonly stageId?: string;
  readonly reason: string;
}
