/** The record of one instrument in `shared/instruments.json`. Pitches are SOUNDING MIDI key numbers. */

export type Family = 'woodwind' | 'brass' | 'percussion' | 'plucked' | 'keyboard' | 'voice' | 'strings' | 'unknown';

export type Clef = 'treble' | 'bass' | 'alto' | 'tenor' | 'treble-8' | 'bass-8' | 'percussion';

/** A range of sounding pitches, both ends included, with keys into the catalogue's list of sources. */
export interface SourcedRange {
  readonly low: number;
  readonly high: number;
  readonly src: readonly string[];
  readonly note?: string;
}

export interface InstrumentRegister {
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly character: string;
  /** 1 weak .. 5 dominating, 3 neutral; an ordinal reading of the cited wording. */
  readonly strength: number;
  readonly src: readonly string[];
}

export interface Instrument {
  readonly id: string;
  readonly name: string;
  /** Short name for charts and the score, e.g. `Vn`, `Hn`, `Cl`. */
  readonly abbreviation: string;
  readonly family: Family;
  /** Position in score order; smaller stands higher on the page. */
  readonly scoreOrder: number;
  /** Singular name of the section in score order, e.g. `flutes`. */
  readonly section: string;
  readonly clefs: readonly Clef[];
  /** sounding = written + semitones; `diatonicSteps` spells the same interval (both negative for a horn in F: -7, -4). */
  readonly transposition: {
    readonly semitones: number;
    readonly diatonicSteps: number;
    readonly src: readonly string[];
    readonly note?: string;
  };
  /** What a professional can reach; undefined for unpitched percussion. */
  readonly extremeRange?: SourcedRange;
  /** What an orchestral part usually stays within. */
  readonly practicalRange?: SourcedRange;
  /** Notes below or above the absolute range that some instruments or players have (a C extension, pedal notes). */
  readonly extension?: SourcedRange;
  readonly otherPublishedRanges: readonly SourcedRange[];
  readonly registers: readonly InstrumentRegister[];
  readonly polyphony: {
    readonly kind: 'monophonic' | 'limited' | 'polyphonic' | 'unpitched';
    /** Most notes one player sounds at once; 0 for unpitched percussion. */
    readonly most: number;
    /** Most notes one player can hold together, where that is fewer (bowed strings: 2). */
    readonly mostSustained?: number;
    readonly rule: string;
    readonly src: readonly string[];
  };
  /** Whether a held note can be shaped after its start (bowed, blown, sung, organ) or only decays (struck, plucked). */
  readonly sustaining: boolean;
  /** General MIDI programs, zero-based as they are sent. */
  readonly gmPrograms: readonly number[];
  readonly musicxmlSound: string;
  readonly trackNames: Readonly<Record<'en' | 'de' | 'it' | 'fr', readonly string[]>> & {
    readonly es?: readonly string[];
  };
  /** Sound power level of one player in dB re 1 pW, at the softest, forte and the loudest; undefined where no figure is known. */
  readonly soundPowerDb?: {
    readonly softest: number;
    readonly forte: number;
    readonly loudest: number;
    readonly src: readonly string[];
    readonly note?: string;
  };
  readonly breathSeconds?: {
    readonly pp: number;
    readonly mf: number;
    readonly ff: number;
    readonly src: readonly string[];
  };
  readonly openStrings?: readonly number[];
  /** Players of a section where nobody says how many: first and second violins, violas ... */
  readonly sectionPlayers?: {
    readonly first: number;
    readonly second?: number;
    readonly src: readonly string[];
    readonly note?: string;
  };
  readonly note?: string;
}

export interface CatalogueSource {
  readonly title: string;
  readonly basis: 'page read' | 'from memory' | 'derived here';
  readonly year?: number;
  readonly where?: string;
}

export interface InstrumentCatalogue {
  readonly about: string;
  readonly sources: Readonly<Record<string, CatalogueSource>>;
  readonly ambiguousTrackNames: readonly {
    readonly token: string;
    readonly candidates: readonly string[];
    readonly rule: string;
    readonly src: readonly string[];
  }[];
  readonly generalMidi: {
    readonly note: string;
    readonly src: readonly string[];
    /** All 128, by zero-based program; `instrument` is what a track without a telling name is taken for. */
    readonly programs: readonly { readonly program: number; readonly name: string; readonly instrument?: string }[];
  };
  readonly instruments: readonly Instrument[];
}
