/** What kind of ensemble a stage is written for: who shares a part, what is usual, what a rule may expect. */

export type EnsembleKind =
  | 'solo'
  | 'chamber'
  | 'string-orchestra'
  | 'orchestra'
  | 'choir'
  | 'wind-band'
  | 'brass-band'
  | 'big-band'
  | 'combo'
  | 'song'
  | 'band'
  | 'percussion'
  | 'electronic'
  | 'unknown';

export interface Ensemble {
  readonly kind: EnsembleKind;
  /** False where another reading is about as likely. */
  readonly sure: boolean;
}

/** What each kind is called in a sentence: `taken for an orchestra`. */
const ENSEMBLE_WORDS: Readonly<Record<EnsembleKind, string>> = {
  solo: 'one player alone',
  chamber: 'chamber music, one player to a part',
  'string-orchestra': 'a string orchestra, its strings in sections',
  orchestra: 'an orchestra, its strings in sections',
  choir: 'a choir, its voices in sections',
  'wind-band': 'a wind band, one player to a part',
  'brass-band': 'a brass band, one player to a part',
  'big-band': 'a big band, one player to a part',
  combo: 'a jazz combo, one player to a part',
  song: 'a song with accompaniment, one to a part',
  band: 'a band, one player to a part',
  percussion: 'a percussion ensemble, one player to a part',
  electronic: 'an electronic score with few or no acoustic parts',
  unknown: 'no ensemble that can be told',
};

/** What a kind is called in a sentence; `isShared` where a part has several players, so that it is not said that each has one. */
export function ensembleWords(kind: EnsembleKind, isShared: boolean): string {
  const words = ENSEMBLE_WORDS[kind];
  return isShared ? words.replace(/, one (?:player )?to a part$/, '') : words;
}

const AMPLIFIED: ReadonlySet<EnsembleKind> = new Set(['combo', 'big-band', 'band', 'electronic']);
/** Instruments that come with a desk and with free harmony, whatever stands beside them. */
const ELECTRIC: ReadonlySet<string> = new Set([
  'bass-guitar',
  'guitar-electric',
  'electric-guitar',
  'synthesizer',
  'synth-bass',
  'sound-effect',
]);

/** True where a part is an electric instrument. */
export function isElectric({ instrument }: { readonly instrument: string }): boolean {
  return ELECTRIC.has(instrument);
}

/** Programs 27 to 32 of General MIDI (jazz, clean, muted, overdriven, distorted, harmonics), counted from 0. */
const ELECTRIC_GUITARS: readonly number[] = [26, 27, 28, 29, 30, 31];
/** E-Git., E. Gtr, El. Guitar, Elec Gtr, Elektrogitarre. */
const SAYS_ELECTRIC = /(?<!\p{L})(?:e|el|elec|electric|elektro|elektrische)[-. ]*(?:g(?:ui)?t|git)/iu;

/** True where a guitar is electric, by its program or its name: it has more frets and its own amplifier. */
export function isElectricGuitar({
  instrument,
  tracks,
}: {
  readonly instrument: string;
  readonly tracks: readonly { readonly program?: number; readonly name: string }[];
}): boolean {
  return (
    instrument === 'guitar' &&
    tracks.some(({ program = 0, name }) => ELECTRIC_GUITARS.includes(program) || SAYS_ELECTRIC.test(name))
  );
}

/** True where levels are set at a desk: bands, and whatever an electric instrument plays in. Common practice, no source. */
export function isAmplified(kind: EnsembleKind, parts: readonly { readonly instrument: string }[]): boolean {
  return AMPLIFIED.has(kind) || parts.some(isElectric);
}

interface Singer {
  readonly family: string;
  readonly instrument: string;
  readonly players: number;
  readonly levelBy?: 'settings';
}

/**
 * True where a part is a single singer before a band, who sings into a microphone in the trade: the notes do not tell how loud. Not where the
 * settings say the level (`trim`, 0 too).
 */
export function singsIntoMicrophone(part: Singer, kind: EnsembleKind, parts: readonly Singer[]): boolean {
  const isSinger = part.family === 'voice' && part.instrument !== 'choir' && part.players === 1;
  return isSinger && part.levelBy === undefined && kind !== 'electronic' && isAmplified(kind, parts);
}

const MANDOLINS: ReadonlySet<string> = new Set(['mandolin', 'mandola', 'mandocello']);
const BOWED: ReadonlySet<string> = new Set(['violin', 'viola', 'cello', 'string-ensemble']);

/** True where parts are a plucked orchestra: several of the mandolin's family, guitars or a bass, and nobody bows but perhaps the bass. Common practice, no source. */
export function isPluckedOrchestra(parts: readonly { readonly instrument: string }[]): boolean {
  const count = (ids: ReadonlySet<string>): number => parts.filter(({ instrument }) => ids.has(instrument)).length;
  return count(MANDOLINS) >= 2 && count(BOWED) === 0 && count(new Set(['guitar', 'double-bass', 'bass-guitar'])) > 0;
}
