/** Which instrument a track is: by settings, its name, its neighbours, its program, its channel. */
import type { Part, Question } from '../model/arrangement.ts';
import { catalogue, instrumentById } from '../model/catalogue.ts';
import type { Family } from '../model/instrument.ts';
import { quoted } from '../read/clean-text.ts';
import type { Language } from './lexicon.ts';
import type { NameReader, SourceTrack } from './source-track.ts';
import { foldText } from './text.ts';
import { instrumentInKey, transpositionInKey } from './transposing-key.ts';

export const UNKNOWN = 'unknown';
const PERCUSSION_CHANNEL = 9;

export interface Recognition {
  /** Catalogue id or `unknown`. */
  readonly instrument: string;
  readonly by: Part['recognisedBy'];
  readonly numbers: readonly number[];
  readonly players?: number;
  readonly transposition?: { readonly semitones: number; readonly diatonicSteps: number };
  /** Without the part id, which is not known yet. */
  readonly question?: Question;
}

/** Catalogue id for a name in the settings: an id, or any name the recogniser knows; undefined for others. */
export function instrumentNamed(name: string, read: NameReader): string | undefined {
  const asId = name.trim().toLowerCase().replaceAll(/\s+/g, '-');
  if (instrumentById(asId) !== undefined) return asId;
  const reading = read(name);
  const first = reading.candidates[0];
  if (first === undefined) return undefined;
  return reading.key === undefined ? first : instrumentInKey(first, reading.key);
}

interface Neighbours {
  readonly families: ReadonlyMap<Family, number>;
  /** Names that could be of a family among others: S, A, T and B speak for one another. */
  readonly maybe: ReadonlyMap<Family, number>;
  readonly ids: ReadonlyMap<string, number>;
  readonly languages: ReadonlyMap<Language, number>;
  readonly leadingIsOrder: boolean;
  readonly someProgramTells: boolean;
}

function neighboursOf(tracks: readonly SourceTrack[]): Neighbours {
  const families = new Map<Family, number>();
  const maybe = new Map<Family, number>();
  const ids = new Map<string, number>();
  const languages = new Map<Language, number>();
  for (const { reading } of tracks) {
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
  return {
    families,
    maybe,
    ids,
    languages,
    // 1. Flute, 2. Oboe, 3. Clarinet ...: places in a list, not first, second and third players.
    leadingIsOrder: leading.length >= 3 && numbers.size === leading.length && kinds.size >= 3,
    someProgramTells: tracks.some((track) => (track.raw.program ?? 0) !== 0),
  };
}

function isSax(id: string): boolean {
  return id.startsWith('sax-');
}

/** Share of the track's notes inside an instrument's absolute range. */
function shareInRange(track: SourceTrack, id: string): number {
  const range = instrumentById(id)?.absoluteRange;
  if (range === undefined || track.raw.notes.length === 0) return 0.5;
  let inside = 0;
  for (const note of track.raw.notes) if (note.midi >= range.low && note.midi <= range.high) inside++;
  return inside / track.raw.notes.length;
}

/** Share of the notes that begin before half of the note before has sounded: chords, not one line. */
function chordShare({ raw: { notes } }: SourceTrack): number {
  let together = 0;
  for (let index = 1; index < notes.length; index++) {
    const before = notes[index - 1];
    const note = notes[index];
    if (before !== undefined && note !== undefined && 2 * note.startTick < before.startTick + before.endTick)
      together++;
  }
  return notes.length === 0 ? 0 : together / notes.length;
}

/** How well a candidate fits: program, neighbours of its kind, language, range. Larger is better; the weights are ours. */
function fitOf(id: string, place: number, track: SourceTrack, around: Neighbours): number {
  const instrument = instrumentById(id);
  if (instrument === undefined) return Number.NEGATIVE_INFINITY;
  const program = track.raw.program ?? 0;
  let fit = -0.3 * place;
  if (program !== 0) fit += instrument.gmPrograms.includes(program) ? 4 : -1;
  if (isSax(id)) {
    if ([...around.ids.keys()].some(isSax)) fit += 2;
  } else if (['strings', 'voice', 'brass'].includes(instrument.family)) {
    const count =
      (around.families.get(instrument.family) ?? 0) + 0.5 * Math.max(0, (around.maybe.get(instrument.family) ?? 0) - 1);
    fit += Math.min(2, count);
  }
  // One that is there already under a plain name is less likely to come again under an ambiguous one.
  if (around.ids.has(id)) fit -= 1.5;
  const own = new Set<Language>(around.languages.keys());
  const name = track.reading.matched;
  for (const language of own) {
    const record = instrument.trackNames[language];
    if (record.some((word) => foldText(word).replaceAll('.', '') === name)) fit += 0.5;
  }
  if (instrument.family === 'voice') {
    // A singer has one line.
    const chords = chordShare(track);
    fit += instrument.polyphony.kind === 'monophonic' ? 1 - 10 * chords : 0;
  }
  return fit + 2 * (shareInRange(track, id) - 1);
}

/** Margin of fit from which a choice among candidates needs no question. */
const CLEAR_MARGIN = 0.6;

function chooseCandidate(track: SourceTrack, around: Neighbours): { id: string; clear: boolean } | undefined {
  const { candidates } = track.reading;
  const first = candidates[0];
  if (first === undefined) return undefined;
  if (candidates.length === 1) return { id: first, clear: true };
  const ranked = candidates
    .map((id, place) => ({ id, fit: fitOf(id, place, track, around) }))
    .sort((a, b) => b.fit - a.fit);
  const [best, next] = ranked;
  if (best === undefined) return undefined;
  return { id: best.id, clear: next === undefined || best.fit - next.fit >= CLEAR_MARGIN };
}

const nameOf = (id: string): string => instrumentById(id)?.name ?? 'an unknown instrument';

function clashOf(track: SourceTrack, id: string): Question | undefined {
  const { program, channel } = track.raw;
  const instrument = instrumentById(id);
  if (instrument === undefined) return undefined;
  if (channel === PERCUSSION_CHANNEL && instrument.family !== 'percussion') {
    return {
      code: 'instrument-clash',
      text: `Track ${quoted(track.name)} is named like ${instrument.name} but is on channel 10, which General MIDI keeps for percussion; it is taken for ${instrument.name}. Say what it is with parts: ${quoted(track.name)}: instrument.`,
    };
  }
  if (
    program === undefined ||
    program === 0 ||
    channel === PERCUSSION_CHANNEL ||
    instrument.gmPrograms.includes(program)
  )
    return undefined;
  const record = catalogue.generalMidi.programs[program];
  if (record?.instrument === undefined || record.instrument === id) return undefined;
  return {
    code: 'instrument-clash',
    text: `Track ${quoted(track.name)} is named like ${instrument.name} but plays General MIDI program ${program + 1} (${record.name}); it is taken for ${instrument.name}. Say what it is with parts: ${quoted(track.name)}: instrument.`,
  };
}

function byName(track: SourceTrack, around: Neighbours): Omit<Recognition, 'numbers' | 'players'> | undefined {
  const choice = chooseCandidate(track, around);
  if (choice === undefined) return undefined;
  const { key } = track.reading;
  const id = key === undefined ? choice.id : instrumentInKey(choice.id, key);
  const transposition = key === undefined || id !== choice.id ? undefined : transpositionInKey(id, key);
  let question: Question | undefined;
  if (!choice.clear) {
    const others = track.reading.candidates.filter((candidate) => candidate !== choice.id).map(nameOf);
    question = {
      code: 'ambiguous-name',
      text: `Track ${quoted(track.name)} could be ${[nameOf(choice.id), ...others].join(' or ')}; it is taken for ${nameOf(choice.id)}. Say which with parts: ${quoted(track.name)}: instrument.`,
    };
  } else if (id === 'string-ensemble') {
    question = {
      code: 'section-patch',
      text: `Track ${quoted(track.name)} is a patch for a whole string section, not one instrument; ranges and players cannot be checked until it is split into parts.`,
    };
  } else if (track.reading.also.length > 0) {
    question = {
      code: 'other',
      text: `Track ${quoted(track.name)} names more than one instrument (${[id, ...track.reading.also].map(nameOf).join(', ')}); it is taken for ${nameOf(id)}. Say which with parts: ${quoted(track.name)}: instrument.`,
    };
  } else question = clashOf(track, id);
  return {
    instrument: id,
    by: 'name',
    ...(transposition === undefined ? {} : { transposition }),
    ...(question === undefined ? {} : { question }),
  };
}

function byProgram(
  track: SourceTrack,
  around: Neighbours,
  onlyTrack: boolean,
): Omit<Recognition, 'numbers' | 'players'> {
  const { program, channel } = track.raw;
  const called =
    track.name === ''
      ? `The track without a name (track ${track.raw.track}, channel ${track.raw.channel + 1} of ${track.file.path})`
      : `Track ${quoted(track.name)}`;
  const ask =
    track.name === '' ? 'Give the track a name.' : `Say what it is with parts: ${quoted(track.name)}: instrument.`;
  if (channel === PERCUSSION_CHANNEL) return { instrument: 'percussion-unpitched', by: 'channel' };
  if (track.reading.lacking) {
    return {
      instrument: UNKNOWN,
      by: 'none',
      question: {
        code: 'instrument-unknown',
        text: `${called} names an instrument that the catalogue lacks; ranges and level are left out for it. If another comes near, say which with parts: ${quoted(track.name)}: instrument.`,
      },
    };
  }
  if (track.reading.section !== undefined) {
    return {
      instrument: UNKNOWN,
      by: 'none',
      question: {
        code: 'section-patch',
        text: `${called} stands for a whole group (${track.reading.section}), not one instrument; ranges, players and level cannot be told until it is split into parts.`,
      },
    };
  }
  // Program 0 is what many programs send by themselves: it tells something only where others send something else.
  const tells = program !== undefined && (program !== 0 || around.someProgramTells || onlyTrack);
  const record = tells ? catalogue.generalMidi.programs[program] : undefined;
  if (record?.instrument !== undefined) {
    const isSection = record.instrument === 'string-ensemble';
    return {
      instrument: record.instrument,
      by: 'program',
      question: {
        code: isSection ? 'section-patch' : 'instrument-guessed',
        text: `${called} does not say what it is; by its General MIDI program ${record.program + 1} (${record.name}) it is taken for ${nameOf(record.instrument)}. ${ask}`,
      },
    };
  }
  return {
    instrument: UNKNOWN,
    by: 'none',
    question: {
      code: 'instrument-unknown',
      text: `${called} does not say which instrument it is; ranges and level are left out for it. ${ask}`,
    },
  };
}

function numbersOf(
  track: SourceTrack,
  id: string,
  around: Neighbours,
): { numbers: readonly number[]; players?: number } {
  const { reading } = track;
  const players = reading.players === undefined ? {} : { players: reading.players };
  const { leadingNumber } = reading;
  if (reading.numbers.length > 0 || leadingNumber === undefined || leadingNumber.padded || around.leadingIsOrder) {
    return { numbers: reading.numbers, ...players };
  }
  const family = instrumentById(id)?.family;
  // 4 Horns are four players; 2. Violinen are the second violins.
  if (
    reading.plural &&
    leadingNumber.count >= 2 &&
    (family === 'brass' || family === 'woodwind') &&
    !/^\s*\d+\s*[.:)]/.test(track.name)
  ) {
    return { numbers: [], players: leadingNumber.count };
  }
  return { numbers: [leadingNumber.count], ...players };
}

/** The instrument of every track of a stage, in the same order. */
export function recogniseTracks(tracks: readonly SourceTrack[], read: NameReader): readonly Recognition[] {
  const around = neighboursOf(tracks);
  return tracks.map((track) => {
    const set = track.settings.instrument === undefined ? undefined : instrumentNamed(track.settings.instrument, read);
    const setKey = set === undefined ? undefined : (read(track.settings.instrument ?? '').key ?? track.reading.key);
    const setTransposition = set === undefined || setKey === undefined ? undefined : transpositionInKey(set, setKey);
    const found =
      set === undefined
        ? (byName(track, around) ?? byProgram(track, around, tracks.length === 1))
        : {
            instrument: set,
            by: 'settings' as const,
            ...(setTransposition === undefined ? {} : { transposition: setTransposition }),
          };
    return { ...found, ...numbersOf(track, found.instrument, around) };
  });
}
