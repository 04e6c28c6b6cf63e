/** Which instrument a track is: by settings, its name, its neighbours, its program, its channel. */
import type { Part, Question } from '../model/arrangement.ts';
import { catalogue, instrumentById } from '../model/catalogue.ts';
import { isPluralName } from '../model/part-grammar.ts';
import { quoted } from '../read/clean-text.ts';
import type { Company } from './company.ts';
import { atHome, besideFamily, companyOf } from './company.ts';
import type { Language } from './lexicon.ts';
import type { NameReader, SourceTrack } from './source-track.ts';
import { foldText } from './text.ts';
import type { InstrumentKey } from './transposing-key.ts';
import { instrumentInKey, readKey, transpositionInKey } from './transposing-key.ts';

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

/**
 * E Horn is the cor anglais where it stands alone, a horn in E where there are two or the other brass stands in keys of its own, as
 * classical scores have it.
 */
function crookedFit(id: string, track: SourceTrack, around: Company): number {
  const { candidates, matched, numbers, plural, players } = track.reading;
  if (!candidates.includes('cor-anglais') || !candidates.includes('horn-f')) return 0;
  if (id === 'cor-anglais') return 2.5 + (around.ids.has('oboe') ? 1 : 0) + (around.ids.has('horn-f') ? 0.5 : 0);
  const isPair = numbers.length > 0 || plural || players !== undefined || (around.matched.get(matched) ?? 0) > 1;
  return (isPair ? 4 : 0) + (around.crooks > 0 ? 3 : 0);
}

/** How well a candidate fits: program, neighbours of its kind, language, range. Larger is better; the weights are ours. */
function fitOf(id: string, place: number, track: SourceTrack, trackPlace: number, around: Company): number {
  const instrument = instrumentById(id);
  if (instrument === undefined) return Number.NEGATIVE_INFINITY;
  const program = track.raw.program ?? 0;
  let fit = -0.3 * place + atHome(id, around) + besideFamily(instrument.family, trackPlace, around);
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
  fit += crookedFit(id, track, around);
  if (instrument.family === 'voice') {
    // A singer has one line.
    const chords = chordShare(track);
    fit += instrument.polyphony.kind === 'monophonic' ? 1 - 10 * chords : 0;
  }
  return fit + 2 * (shareInRange(track, id) - 1);
}

/** Margin of fit from which a choice among candidates needs no question. */
const CLEAR_MARGIN = 0.6;

/** Lead says what a line does, not who plays it: a program of another instrument tells more. */
function isRoleAlone(matched: string, candidates: readonly string[], program: number): boolean {
  return (
    matched === 'lead' && program !== 0 && !candidates.some((id) => instrumentById(id)?.gmPrograms.includes(program))
  );
}

interface CandidateChoice {
  readonly id: string;
  readonly clear: boolean;
}

function chooseCandidate(track: SourceTrack, trackPlace: number, around: Company): CandidateChoice | undefined {
  const { candidates, matched } = track.reading;
  const first = candidates[0];
  if (first === undefined || isRoleAlone(matched, candidates, track.raw.program ?? 0)) return undefined;
  if (candidates.length === 1) return { id: first, clear: true };
  const ranked = candidates
    .map((id, place) => ({ id, fit: fitOf(id, place, track, trackPlace, around) }))
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

/** Names of the horn that mean the tenor horn where a brass band plays. */
const PLAIN_HORN: ReadonlySet<string> = new Set(['horn', 'horns', 'hn', 'hns', 'solo horn']);

/** What a name that is plain elsewhere means in this company: the horns of a brass band are tenor horns. */
function inCompany(choice: CandidateChoice, track: SourceTrack, { kind }: Company): CandidateChoice {
  const { key, matched } = track.reading;
  const isPlain = key === undefined || (key.step === 'E' && key.alter === -1);
  const isBandHorn = kind === 'brass-band' && choice.id === 'horn-f' && isPlain && PLAIN_HORN.has(matched);
  return isBandHorn ? { id: 'alto-horn-eflat', clear: choice.clear } : choice;
}

/** The key in the name itself, where it is the horn's: E Horn, Eb Horn. */
function keyOf(id: string, { key, candidates, matched }: SourceTrack['reading']): InstrumentKey | undefined {
  if (key !== undefined || id !== 'horn-f' || candidates.length < 2) return key;
  return readKey(matched.split(' '), 0)?.key;
}

function byName(
  track: SourceTrack,
  trackPlace: number,
  around: Company,
): Omit<Recognition, 'numbers' | 'players'> | undefined {
  const first = chooseCandidate(track, trackPlace, around);
  if (first === undefined) return undefined;
  const choice = inCompany(first, track, around);
  const key = keyOf(choice.id, track.reading);
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

function byProgram(track: SourceTrack, around: Company, onlyTrack: boolean): Omit<Recognition, 'numbers' | 'players'> {
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

function numbersOf(track: SourceTrack, id: string, around: Company): { numbers: readonly number[]; players?: number } {
  const { reading } = track;
  const players = reading.players === undefined ? {} : { players: reading.players };
  const { leadingNumber } = reading;
  if (reading.numbers.length > 0 || leadingNumber === undefined || leadingNumber.padded || around.leadingIsOrder) {
    return { numbers: reading.numbers, ...players };
  }
  const family = instrumentById(id)?.family;
  // 4 Horns are four players; 2. Violinen are the second violins.
  if (
    (reading.plural || isPluralName(track.name)) &&
    leadingNumber.count >= 2 &&
    (family === 'brass' ||
      family === 'woodwind' ||
      (leadingNumber.count > 2 && (family === 'strings' || family === 'voice'))) &&
    !/^\s*\d+\s*[.:)]/.test(track.name)
  ) {
    return { numbers: [], players: leadingNumber.count };
  }
  return { numbers: [leadingNumber.count], ...players };
}

/** The instrument of every track of a stage, in the same order. */
export function recogniseTracks(tracks: readonly SourceTrack[], read: NameReader): readonly Recognition[] {
  const alone = companyOf(tracks);
  // The first reading tells what kind of ensemble it is; the second reads the names in it.
  const firstReading = tracks.map(
    (track, place) =>
      chooseCandidate(track, place, alone)?.id ?? byProgram(track, alone, tracks.length === 1).instrument,
  );
  const around = companyOf(tracks, firstReading);
  return tracks.map((track, place) => {
    const set = track.settings.instrument === undefined ? undefined : instrumentNamed(track.settings.instrument, read);
    const setKey = set === undefined ? undefined : (read(track.settings.instrument ?? '').key ?? track.reading.key);
    const setTransposition = set === undefined || setKey === undefined ? undefined : transpositionInKey(set, setKey);
    const found =
      set === undefined
        ? (byName(track, place, around) ?? byProgram(track, around, tracks.length === 1))
        : {
            instrument: set,
            by: 'settings' as const,
            ...(setTransposition === undefined ? {} : { transposition: setTransposition }),
          };
    return { ...found, ...numbersOf(track, found.instrument, around) };
  });
}
