/** The company that a track keeps: what the other tracks of the stage are, as far as their names tell. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';
import type { Family } from '../../model/music/instrument.ts';
import { ensembleOf, isKitName } from './ensemble-kind.ts';
import type { Language } from '../names/lexicon.ts';
import type { SourceTrack } from '../names/source-track.ts';

export interface Company {
  readonly tracks: readonly SourceTrack[];
  readonly families: ReadonlyMap<Family, number>;
  /** Names that could be of a family among others: S, A, T and B speak for one another. */
  readonly maybe: ReadonlyMap<Family, number>;
  readonly ids: ReadonlyMap<string, number>;
  /** How many tracks are called by the same words, numbers apart. */
  readonly matched: ReadonlyMap<string, number>;
  readonly languages: ReadonlyMap<Language, number>;
  readonly leadingIsOrder: boolean;
  readonly someProgramTells: boolean;
  /** Horns, trumpets and clarinets named with a key that no modern part stands in: the scoring is of natural brass. */
  readonly crooks: number;
  /** What kind of ensemble the first reading of the names makes; undefined before there is one. */
  readonly kind?: EnsembleKind;
  /** What kinds of players the names speak of, one for another. */
  readonly scene: Scene;
  /** Family of the nearest named track before and after each, by place. */
  readonly before: readonly (Family | undefined)[];
  readonly after: readonly (Family | undefined)[];
}

/** Players of whom one makes others likely. Common practice. */
interface Scene {
  /** A drummer. */
  readonly kit: boolean;
  /** Sopranos, or a part of a choir that no instrument is called by. */
  readonly sopranos: boolean;
  /** Flugelhorns, tenor horns, euphoniums: the brass of wind and brass bands. */
  readonly bandBrass: boolean;
  readonly saxes: boolean;
  readonly latin: boolean;
  readonly clarinets: number;
  /** Bowed strings named as such, or a section of them. */
  readonly strings: boolean;
  /** The instruments whose players are called by voices here: `recorder-` or `sax-`, as their ids begin. */
  readonly consort: string | undefined;
}

const BAND_BRASS: ReadonlySet<string> = new Set([
  'flugelhorn',
  'alto-horn-eflat',
  'baritone-horn',
  'euphonium',
  'cornet-bflat',
  'cornet-eflat',
]);
const LATIN_WORDS: ReadonlySet<string> = new Set(
  'congas,conga,bongo,bongos,cga,guiro,clave,claves,cencerro,tumbadora,tumbadoras,montuno,cascara,maracas,guira,tambora,baby bass,tres cubano'.split(
    ',',
  ),
);
const DRUM_CHANNEL = 9;

const OF_A_CHOIR: readonly string[] = ['voice-alto', 'voice-tenor', 'voice-bass'];

/** A choir has more than its sopranos: where all the other voices are saxophones by name, a plain soprano is one of them. */
function singsSoprano(tracks: readonly SourceTrack[], saxes: boolean): boolean {
  const isChoir = !saxes || tracks.some(({ reading }) => OF_A_CHOIR.some((id) => reading.candidates.includes(id)));
  return tracks.some(
    ({ reading: { candidates } }) => candidates[0] === 'voice-soprano' && (isChoir || candidates.length === 1),
  );
}

/** Instruments that are built in the sizes of voices and often named by them alone, with their programs in General MIDI, counted from 0. */
const CONSORTS: readonly { readonly ids: string; readonly programs: readonly number[] }[] = [
  { ids: 'recorder-', programs: [74] },
  { ids: 'sax-', programs: [64, 65, 66, 67] },
];
const LEAST_OF_CONSORT = 3;

/** Three or more that are called by voices and all sound as one instrument are that instrument; a single one is a voice to be learnt by its sound. */
function consortOf(tracks: readonly SourceTrack[]): string | undefined {
  const voiced = tracks.filter(({ reading }) => reading.candidates.some((id) => id.startsWith('voice-')));
  if (voiced.length < LEAST_OF_CONSORT) return undefined;
  return CONSORTS.find(({ programs }) => voiced.every(({ raw }) => programs.includes(raw.program ?? 0)))?.ids;
}

function sceneOf(tracks: readonly SourceTrack[]): Scene {
  const has = (is: (id: string) => boolean): boolean =>
    tracks.some(({ reading }) => reading.candidates.length > 0 && reading.candidates.every(is));
  const saxes = has((id) => id.startsWith('sax-'));
  return {
    kit: tracks.some(({ reading, raw }) => isKitName(reading.matched) || raw.channel === DRUM_CHANNEL),
    sopranos: singsSoprano(tracks, saxes),
    // Names that may be of a voice or of a saxophone speak for neither.
    bandBrass: tracks.filter(({ reading }) => BAND_BRASS.has(reading.candidates[0] ?? '')).length >= 2,
    saxes,
    latin: tracks.some(({ reading }) => LATIN_WORDS.has(reading.matched)),
    clarinets: tracks.filter(({ reading }) => reading.candidates.some((id) => id.includes('clarinet'))).length,
    strings: has((id) => ['violin', 'viola', 'cello', 'string-ensemble'].includes(id)),
    consort: consortOf(tracks),
  };
}

/** How much the scene speaks for an instrument that an ambiguous name could mean. The weights are ours. */
export function inScene(id: string, { scene, ids }: Company): number {
  const { kit, sopranos, bandBrass, saxes, latin, clarinets, strings, consort } = scene;
  if (consort !== undefined && id.startsWith(consort)) return 6;
  if (id.startsWith('sax-')) return !sopranos && (kit || saxes) ? 4 : 0;
  if (/^voice-(?:alto|tenor|baritone|bass)$/.test(id)) return bandBrass && !sopranos ? -4 : kit && !sopranos ? -2 : 0;
  if (id === 'baritone-horn' || id === 'tuba') return bandBrass ? 3.5 : 0;
  if (id === 'percussion-unpitched') return latin && !strings ? 5 : 0;
  if (id === 'alto-clarinet') return clarinets >= 3 && !strings ? 2 : 0;
  if (id === 'trombone-bass') return kit && saxes ? 2.5 : 0;
  if (id === 'synthesizer') return (ids.get(id) ?? 0) > 0 ? 2.5 : 0;
  return id === 'organ' ? Math.min(3, 2 * (ids.get('organ') ?? 0)) : 0;
}

const CROOKED: ReadonlySet<string> = new Set(['horn-f', 'trumpet-bflat', 'clarinet-bflat']);

const NO_VOICE_OF_FOUR: ReadonlySet<string> = new Set(['voice', 'choir']);

/** The family that all readings of a track share. */
function familyOf({ reading }: SourceTrack): Family | undefined {
  const families = new Set(reading.candidates.map((id) => instrumentById(id)?.family));
  return families.size === 1 ? [...families][0] : undefined;
}

function nearest(families: readonly (Family | undefined)[]): (Family | undefined)[] {
  let last: Family | undefined;
  return families.map((family) => {
    const before = last;
    last = family ?? last;
    return before;
  });
}

function isCrooked({ reading }: SourceTrack): boolean {
  const first = reading.candidates[0];
  const { key } = reading;
  if (key === undefined || first === undefined || !CROOKED.has(first)) return false;
  const name = key.step + (key.alter === -1 ? 'b' : '');
  if (first === 'horn-f') return name !== 'F';
  if (first === 'trumpet-bflat') return name !== 'Bb';
  return name === 'C' || name === 'D';
}

/** What the names of all tracks say about one another. `chosen`: the instruments of a first reading, in the same order. */
export function companyOf(tracks: readonly SourceTrack[], chosen?: readonly string[]): Company {
  const families = new Map<Family, number>();
  const maybe = new Map<Family, number>();
  const ids = new Map<string, number>();
  const languages = new Map<Language, number>();
  const matched = new Map<string, number>();
  for (const { reading } of tracks) {
    matched.set(reading.matched, (matched.get(reading.matched) ?? 0) + 1);
    const possible = new Set(
      reading.candidates.map((id) => instrumentById(id)?.family).filter((family) => family !== undefined),
    );
    if (reading.candidates.length > 1) for (const family of possible) maybe.set(family, (maybe.get(family) ?? 0) + 1);
    const only = reading.candidates.length === 1 ? reading.candidates[0] : undefined;
    const family = only === undefined ? undefined : instrumentById(only)?.family;
    if (only === undefined || family === undefined) continue;
    families.set(family, (families.get(family) ?? 0) + 1);
    ids.set(only, (ids.get(only) ?? 0) + 1);
    if (reading.languages.length === 1) {
      for (const language of reading.languages) languages.set(language, (languages.get(language) ?? 0) + 1);
    }
  }
  const leading = tracks.filter(
    (track) => track.reading.leadingNumber !== undefined && track.reading.candidates.length > 0,
  );
  const numbers = new Set(leading.map((track) => track.reading.leadingNumber?.count));
  const kinds = new Set(leading.map((track) => track.reading.candidates[0]));
  // A lead singer or a choir beside a bass says nothing of it: they are no voice of four.
  const named = tracks.map((track, place) =>
    NO_VOICE_OF_FOUR.has(track.reading.candidates[0] ?? '')
      ? undefined
      : (familyOf(track) ?? instrumentById(chosen?.[place] ?? '')?.family),
  );
  return {
    tracks,
    families,
    maybe,
    ids,
    matched,
    languages,
    // 1. Flute, 2. Oboe, 3. Clarinet ...: places in a list, not first, second and third players.
    leadingIsOrder: leading.length >= 3 && numbers.size === leading.length && kinds.size >= 3,
    someProgramTells: tracks.some((track) => (track.raw.program ?? 0) !== 0),
    crooks: tracks.filter(isCrooked).length,
    scene: sceneOf(tracks),
    ...(chosen === undefined ? {} : { kind: kindOf(tracks, chosen) }),
    before: nearest(named),
    after: nearest(named.toReversed()).toReversed(),
  };
}

function kindOf(tracks: readonly SourceTrack[], chosen: readonly string[]): EnsembleKind {
  return ensembleOf(
    tracks.map(({ reading }, index) => ({
      instrument: chosen[index] ?? 'unknown',
      stated: Math.max(1, reading.players ?? 1, reading.numbers.length),
      section: reading.plural || reading.tutti,
      solo: reading.solo,
      kit: chosen[index] === 'percussion-unpitched' && isKitName(reading.matched),
    })),
  ).kind;
}

type Likings = Readonly<Record<string, number>>;

const SAXES: Likings = { 'sax-soprano': 2, 'sax-alto': 2, 'sax-tenor': 2, 'sax-baritone': 2 };
/** Band instruments that an orchestra has only now and then. */
const NOT_AT_HOME: Likings = {
  'baritone-horn': -2,
  'alto-horn-eflat': -2,
  flugelhorn: -2.5,
  'sax-alto': -1,
  'sax-tenor': -1,
  'sax-baritone': -1,
};
const STRINGS: Likings = {
  ...NOT_AT_HOME,
  'double-bass': 1.5,
  viola: 1,
  'horn-f': 1.5,
  harp: 1,
  'trumpet-bflat': 0.5,
};

/** How much an instrument that a name could mean is at home in each kind of ensemble. Common practice; the weights are ours. */
const AT_HOME: Readonly<Partial<Record<EnsembleKind, Likings>>> = {
  orchestra: { ...STRINGS, 'cor-anglais': 0.5, tuba: 0.5, glockenspiel: 0.5 },
  'string-orchestra': STRINGS,
  chamber: STRINGS,
  'wind-band': { ...SAXES, flugelhorn: 2, 'baritone-horn': 2.5, 'alto-horn-eflat': 1.5, tuba: 1, 'double-bass': 1 },
  'brass-band': {
    tuba: 3,
    flugelhorn: 2,
    'alto-horn-eflat': 3,
    'baritone-horn': 3,
    'cornet-eflat': 3,
    'cornet-bflat': 1,
  },
  'big-band': { ...SAXES, flugelhorn: 2, 'double-bass': 1.5, 'bass-guitar': 0.5, piano: 1 },
  combo: { ...SAXES, flugelhorn: 2, 'percussion-unpitched': 1, 'double-bass': 1.5, 'bass-guitar': 0.5, voice: 1 },
  band: { 'bass-guitar': 2.5, 'percussion-unpitched': 1, voice: 1.5, synthesizer: 1.5, guitar: 0.5 },
  song: { voice: 1, 'voice-soprano': 1, 'voice-alto': 1, 'voice-tenor': 1, 'voice-baritone': 1, 'voice-bass': 1 },
  choir: { 'voice-soprano': 2, 'voice-alto': 2, 'voice-tenor': 2, 'voice-baritone': 2, 'voice-bass': 2, choir: 0.5 },
  percussion: { 'percussion-unpitched': 1 },
  electronic: { synthesizer: 2, 'synth-bass': 2, 'bass-guitar': 0.5 },
};

/** Instruments of old music: where one is, others are likely. */
const OLD = [
  'harpsichord',
  'theorbo',
  'archlute',
  'lute',
  'viol-treble',
  'viol-tenor',
  'recorder-treble',
  'recorder-soprano',
];
const OLD_TOO: ReadonlySet<string> = new Set(['viol-bass', 'viol-treble', 'viol-tenor', 'cornetto', 'recorder-treble']);

/** How well an instrument goes with the kind of ensemble, and with old instruments where there are any. */
export function atHome(id: string, { kind, ids }: Company): number {
  const old = OLD_TOO.has(id) && OLD.some((other) => ids.has(other)) ? 2 : 0;
  return old + (kind === undefined ? 0 : (AT_HOME[kind]?.[id] ?? 0));
}

/** Weight where the tracks next to a singer or a string part are of its family: scores are written in order, and the one before tells most. */
export function besideFamily(family: Family, place: number, company: Company): number {
  if (family !== 'strings' && family !== 'voice') return 0;
  return (company.before[place] === family ? 4 : 0) + (company.after[place] === family ? 0.5 : 0);
}
