/**
 * `dossier.yaml`: the settings, described once. The table below makes the check, the JSON Schema and the README's list.
 */

import type { Style } from '../../model/music/style.ts';

/** First and last bar, both included, as a musician counts. */
export interface BarSpan {
  readonly from: number;
  readonly to: number;
}

export interface PartSettings {
  /** Catalogue id or name of an instrument. */
  readonly instrument?: string;
  /** Name to show. */
  readonly name?: string;
  readonly players?: number;
  readonly ignore?: boolean;
  /** Name of another part into which this track is merged. */
  readonly join?: string;
  /** dB added to the estimated level. */
  readonly trim?: number;
  /** Sounding range of the player, MIDI key numbers. */
  readonly range?: { readonly low: number; readonly high: number };
  /** What shapes the loudness of a note. */
  readonly dynamics?: 'velocity' | 'cc1' | 'cc2' | 'cc11';
}

export interface StageSettings {
  readonly title?: string;
  readonly order?: number;
  readonly remark?: string;
  /** Second of the audio file at which the first bar begins. */
  readonly offset?: number;
  readonly ignore?: boolean;
}

export interface AcceptedSetting {
  readonly rule: string;
  readonly bars?: BarSpan;
  readonly parts?: readonly string[];
  readonly stage?: string;
  readonly reason: string;
}

export interface Settings {
  readonly title?: string;
  readonly subtitle?: string;
  readonly arranger?: string;
  readonly for?: string;
  readonly date?: string;
  readonly foreground?: readonly { readonly part: string; readonly bars?: BarSpan }[];
  readonly sections?: readonly { readonly name: string; readonly bars: BarSpan }[];
  /** Key as people write it, `F# minor`, `E-flat major`; checked by `read`. */
  readonly key?: {
    readonly step: 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';
    readonly alter: number;
    readonly mode: 'major' | 'minor';
  };
  /** The bars that the piece takes of the files; notes that begin outside of them are left out. */
  readonly bars?: BarSpan;
  /** What kind of music it is: which chords are usual. */
  readonly style?: Style;
  /** Most staves of the reduced score; `auto`: as it is dense. */
  readonly staves?: 'auto' | 4 | 5 | 6;
  /** Length of the pickup in quarter notes. */
  readonly pickup?: number;
  /** By track name. */
  readonly parts?: Readonly<Record<string, PartSettings>>;
  /** By file or folder name, with or without extension. */
  readonly stages?: Readonly<Record<string, StageSettings>>;
  readonly paper?: 'a4' | 'letter';
  /** Threshold of a rule by its name, e.g. `late-part: 60`. */
  readonly limits?: Readonly<Record<string, number>>;
  readonly accepted?: readonly AcceptedSetting[];
}
