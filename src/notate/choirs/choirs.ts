/** The choirs of a large ensemble (woodwind, brass, rhythm section, strings ...) in score order, and what several of them are called together. */
import { groupedBy } from '../../model/grouped.ts';
import type { Part, Stage } from '../../model/music/arrangement.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';

interface ChoirWords {
  readonly label: string;
  readonly abbreviation: string;
}

export interface Choir {
  readonly id: string;
  /** What the choir belongs to: trumpets to the brass. */
  readonly group: string;
  /** Pitched parts that have notes, in score order; at least one. */
  readonly parts: readonly Part[];
}

/** Names of choirs and groups: common practice in condensed scores, no source. */
const WORDS: ReadonlyMap<string, ChoirWords> = new Map([
  ['woodwind', { label: 'Woodwind', abbreviation: 'Ww.' }],
  ['saxophones', { label: 'Saxophones', abbreviation: 'Saxes' }],
  ['brass', { label: 'Brass', abbreviation: 'Br.' }],
  ['horns', { label: 'Horns', abbreviation: 'Hns' }],
  ['trumpets', { label: 'Trumpets', abbreviation: 'Tpts' }],
  ['cornets', { label: 'Cornets', abbreviation: 'Cnts' }],
  ['low-brass', { label: 'Low brass', abbreviation: 'Low br.' }],
  ['winds', { label: 'Winds', abbreviation: 'Winds' }],
  ['rhythm', { label: 'Rhythm section', abbreviation: 'Rhythm' }],
  ['percussion', { label: 'Percussion', abbreviation: 'Perc.' }],
  ['keyboards', { label: 'Keyboards', abbreviation: 'Keys' }],
  ['plucked', { label: 'Plucked strings', abbreviation: 'Pl.' }],
  ['voices', { label: 'Voices', abbreviation: 'Voices' }],
  ['strings', { label: 'Strings', abbreviation: 'Str.' }],
  ['others', { label: 'Others', abbreviation: 'Oth.' }],
]);

const ENSEMBLE: ChoirWords = { label: 'Ensemble', abbreviation: 'Ens.' };

/** Where keyboards, guitars and a bass are the rhythm section. */
const WITH_RHYTHM_SECTION: ReadonlySet<EnsembleKind> = new Set<EnsembleKind>(['big-band', 'combo', 'song', 'band']);

/** Where the brass are so many that each kind of them is a choir. */
const WITH_BRASS_CHOIRS: ReadonlySet<EnsembleKind> = new Set<EnsembleKind>(['big-band', 'brass-band', 'wind-band']);

function brassChoir(instrument: string): string {
  if (/^(cornet-|flugelhorn)/.test(instrument)) return 'cornets';
  if (/^(trumpet-|cornetto|posthorn)/.test(instrument)) return 'trumpets';
  return /^(horn-|alto-horn|mellophone)/.test(instrument) ? 'horns' : 'low-brass';
}

function choirIdOf({ family, instrument }: Part, kind: EnsembleKind, hasOnlySaxes: boolean): string {
  if (WITH_RHYTHM_SECTION.has(kind) && (/^(keyboard|plucked|unknown)$/.test(family) || instrument === 'double-bass')) {
    return 'rhythm';
  }
  switch (family) {
    case 'woodwind':
      return hasOnlySaxes ? 'saxophones' : 'woodwind';
    case 'brass':
      return WITH_BRASS_CHOIRS.has(kind) ? brassChoir(instrument) : 'brass';
    case 'voice':
      return 'voices';
    case 'keyboard':
      return 'keyboards';
    case 'plucked':
      return 'plucked';
    case 'strings':
    case 'percussion':
      return family;
    default:
      return 'others';
  }
}

const BRASS: ReadonlySet<string> = new Set(['brass', 'horns', 'trumpets', 'cornets', 'low-brass']);

/** Choirs of the pitched parts with notes, in the order in which the score has the first part of each. */
export function choirsOf({ parts, ensemble }: Pick<Stage, 'parts' | 'ensemble'>): Choir[] {
  const playing = parts.filter((part) => !part.unpitched && part.notes.length > 0);
  const hasOnlySaxes = playing.every(
    ({ family, instrument }) => family !== 'woodwind' || instrument.startsWith('sax-'),
  );
  const byId = groupedBy(playing, (part) => choirIdOf(part, ensemble.kind, hasOnlySaxes));
  return [...byId].map(([id, own]) => ({ id, group: BRASS.has(id) ? 'brass' : id, parts: own }));
}

const WINDS: ReadonlySet<string> = new Set(['woodwind', 'saxophones', 'brass']);

/** Of so many kinds of choirs at most each is named. */
const MOST_NAMED = 3;

function wordsOf(choirs: readonly Choir[], id: string): ChoirWords {
  const parts = choirs.flatMap((choir) => choir.parts);
  const [part] = parts;
  if (part !== undefined && parts.length === 1) return { label: part.name, abbreviation: part.abbreviation };
  const [only] = choirs;
  return WORDS.get(choirs.length === 1 && only !== undefined ? only.id : id) ?? ENSEMBLE;
}

/** What choirs on one staff are called: a part alone by its name, choirs by what they have in common, else each by its own. */
export function choirWords(choirs: readonly Choir[]): ChoirWords {
  const winds = new Set(choirs.map(({ group }) => group).filter((group) => WINDS.has(group)));
  const areWinds = winds.has('brass') && winds.size > 1;
  const groups = groupedBy(choirs, ({ group }) => (areWinds && WINDS.has(group) ? 'winds' : group));
  if (groups.size > MOST_NAMED) return ENSEMBLE;
  const words = [...groups].map(([id, own]) => wordsOf(own, id));
  return {
    label: words.map(({ label }) => label).join(', '),
    abbreviation: words.map(({ abbreviation }) => abbreviation).join(', '),
  };
}
