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
export const ENSEMBLE_WORDS: Readonly<Record<EnsembleKind, string>> = {
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
