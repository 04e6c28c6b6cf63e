/**
 * What `read` gives: the folder as it was found, decoded but not yet interpreted. Plain data.
 */
import type { FileUse, MemoKind } from '../model/music/arrangement.ts';
import type { AudioKind } from '../model/recordings/audio-kinds.ts';
import type { Problem } from '../problems/problem.ts';
import type { SoundMeasure } from '../sound/measure/sound-meter.ts';
import type { MeasuredSound } from './audio/measured-sound.ts';
import type { RawSyllable } from './midi/lyric-syllables.ts';
import type { Settings } from './settings/settings.ts';

export type Division =
  | { readonly kind: 'ppq'; readonly ticksPerQuarter: number }
  | { readonly kind: 'smpte'; readonly ticksPerSecond: number };

export interface RawNote {
  readonly midi: number;
  /** 1..127 */
  readonly velocity: number;
  readonly startTick: number;
  /** Key-up; always greater than startTick. */
  readonly endTick: number;
}

export interface RawController {
  readonly controller: number;
  readonly tick: number;
  /** 0..127 */
  readonly setting: number;
}

/** One channel of one track chunk: what most programs call a track. */
export interface RawTrack {
  /** 1-based number of the chunk in its file (for format 0 files: 1). */
  readonly track: number;
  /** Zero-based channel; 9 is the percussion channel of General MIDI. */
  readonly channel: number;
  /** Name as decoded, trimmed, control characters taken out; '' where there is none. */
  readonly name: string;
  /** Instrument name meta event (FF 04); '' where there is none. */
  readonly instrumentName: string;
  /** Zero-based program in force at the first note; undefined where none was sent. */
  readonly program?: number;
  /** Sorted by startTick, then midi. */
  readonly notes: readonly RawNote[];
  /** Sorted by tick. Controllers 1, 2, 7, 11 and 64 (others are read and dropped). */
  readonly controllers: readonly RawController[];
  /** Largest pitch bend met, in units of 0..8192 from the middle; 0 where there is none. */
  readonly largestBend: number;
  /** Words that are sung to its notes, in order; left out where there are none. */
  readonly lyrics?: readonly RawSyllable[];
}

export interface RawMidiFile {
  /** POSIX path relative to the input folder. */
  readonly path: string;
  readonly format: 0 | 1 | 2;
  readonly division: Division;
  readonly tracks: readonly RawTrack[];
  readonly tempos: readonly {
    readonly tick: number;
    readonly microsecondsPerQuarter: number;
    readonly track: number;
  }[];
  readonly meters: readonly {
    readonly tick: number;
    readonly numerator: number;
    readonly denominator: number;
    readonly track: number;
  }[];
  readonly keySignatures: readonly {
    readonly tick: number;
    readonly fifths: number;
    readonly mode: 'major' | 'minor';
  }[];
  readonly markers: readonly { readonly tick: number; readonly text: string }[];
  /** Last tick of any event, end of track included. */
  readonly lastTick: number;
}

/** A stage as the folder gives it: one file, or the files of one subfolder. */
export interface RawStage {
  /** Name of the file without extension, or of the subfolder. */
  readonly name: string;
  /** True where the stage is a subfolder with one file a part. */
  readonly isFolder: boolean;
  /** Files that could be read, in natural order of name; at least one. */
  readonly files: readonly RawMidiFile[];
  /** Audio that lies beside it under its name. */
  readonly audio?: RawAudio;
}

export interface RawAudio {
  readonly path: string;
  readonly sha256: string;
  readonly kind: AudioKind;
  readonly bytes: number;
  /** What was measured of it; absent where it can only be played. */
  readonly measure?: SoundMeasure;
}

/** A note of the musician (a .md file, or one heading of it). */
export interface RawMemo {
  readonly file: string;
  /** 1-based line of the heading or of the first text. */
  readonly line: number;
  readonly heading: string;
  /** Markdown source of the body, untrusted. */
  readonly markdown: string;
  /** From front matter or the heading; each with the place to report against. */
  readonly stage?: Located<string>;
  readonly bars?: Located<{ readonly from: number; readonly to: number }>;
  /** Names as written in front matter `parts`, or words after the bar span of a heading ("Bar 5, strings"). */
  readonly parts: readonly Located<string>[];
  readonly kind: MemoKind;
  /** As written in front matter. */
  readonly date?: string;
  /** Where a reader of a dossier wrote it. */
  readonly answer?: RawAnswer;
  /** Headings without bars inside the text, the memo's own first where it is one. */
  readonly inner?: readonly InnerHeading[];
  /** Headings without bars in whose sections it stands, the innermost last. */
  readonly under?: readonly string[];
}

/** A heading inside the text of a memo. */
export interface InnerHeading {
  readonly text: string;
  /** 1 to 6, as in Markdown. */
  readonly level: number;
  /** Its zero-based line in the memo's `markdown`; -1 for the memo's own heading, which does not stand there. */
  readonly at: number;
  /** The first line after it. */
  readonly next: number;
}

/** What the front matter of an answer says besides; see `Answer`. */
export interface RawAnswer {
  readonly from: string;
  readonly about?: string;
  /** Hash of the music of the stage that was answered. */
  readonly music?: string;
  readonly question?: string;
  readonly finding?: string;
}

export interface Located<T> {
  readonly content: T;
  readonly line: number;
  readonly column: number;
}

/** A recording that is named after a part or a group of parts. */
export interface RawStem extends MeasuredSound {
  readonly path: string;
  /** Subfolder that it lies in. */
  readonly folder: string;
  /** Name of the file without extension. */
  readonly name: string;
}

export interface RawFile {
  readonly path: string;
  /** Hex SHA-256 of the bytes; '' where the file was not read (too large, a link that leaves the folder). */
  readonly sha256: string;
  readonly use: FileUse;
}

export interface RawFolder {
  readonly stages: readonly RawStage[];
  readonly settings: RawSettings;
  readonly memos: readonly RawMemo[];
  /** Recordings in subfolders, measured. */
  readonly stems?: readonly RawStem[];
  /** Every file met, in natural order of path. */
  readonly files: readonly RawFile[];
  readonly problems: readonly Problem[];
}

export interface RawSettings {
  /** Path of the settings file, or undefined where there is none (then `content` is empty). */
  readonly file?: string;
  readonly content: Settings;
  /** Where each key stands: JSON.stringify of its path (e.g. '["parts","Vn 1","instrument"]') to line and column, both 1-based. */
  readonly positions: Readonly<Record<string, { readonly line: number; readonly column: number }>>;
}
