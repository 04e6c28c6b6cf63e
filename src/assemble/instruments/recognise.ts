/** Which instrument a track is: by settings, its name, its neighbours, its program, its channel. */
import type { Part, Question } from '../../model/music/arrangement.ts';
import { asInstrumentId, catalogue, instrumentById } from '../../model/music/catalogue.ts';
import { isPluralName } from '../../model/words/part-grammar.ts';
import { asYamlKey, quoted } from '../../read/clean-text.ts';
import type { Company } from './company.ts';
import { PERCUSSION_CHANNEL, chordShare, fitOf, shareInRange } from './candidate-fit.ts';
import { companyOf } from './company.ts';
import { isDefaultName } from '../names/name-words.ts';
import { isSungProgram, NAME_OF_A_LINE } from '../names/said-to-sing.ts';
import type { NameReader, SourceTrack } from '../names/source-track.ts';
import type { InstrumentKey } from '../names/transposing-key.ts';
import { instrumentInKey, readKey } from '../names/transposing-key.ts';
import { transpositionOfTrack } from './natural-harmonics.ts';

export const UNKNOWN = 'unknown';

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

/** True where somebody named the instrument, on the track or in a note, so that its numbers are of players. */
export function isNamed(by: Part['recognisedBy']): boolean {
  return by === 'name' || by === 'note';
}

/** Catalogue id for a name in the settings: an id, or any name the recogniser knows; undefined for others. */
export function instrumentNamed(name: string, read: NameReader): string | undefined {
  const asId = asInstrumentId(name);
  if (instrumentById(asId) !== undefined) return asId;
  const reading = read(name);
  const first = reading.candidates[0];
  if (first === undefined) return undefined;
  return reading.key === undefined ? first : instrumentInKey(first, reading.key);
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

const HALF = 0.5;
const nameOf = (id: string): string => instrumentById(id)?.name ?? 'an unknown instrument';

const isSung = (id: string): boolean => instrumentById(id)?.family === 'voice';

/** On the drum channel a tuned percussion instrument whose notes are not its own is a drum of that name: cowbells called campana. */
function isDrumOfChannel(id: string, track: SourceTrack): boolean {
  const { family, polyphony } = instrumentById(id) ?? {};
  return (
    track.raw.channel === PERCUSSION_CHANNEL &&
    family === 'percussion' &&
    polyphony?.kind !== 'unpitched' &&
    track.raw.notes.length > 0 &&
    shareInRange(track, id) < HALF
  );
}

function clashOf(track: SourceTrack, id: string): Question | undefined {
  const { program, channel } = track.raw;
  const instrument = instrumentById(id);
  if (instrument === undefined) return undefined;
  // Who sets an instrument's own program there has counted channels, and means no drums.
  const isCounted = program !== undefined && program !== 0 && instrument.gmPrograms.includes(program);
  if (channel === PERCUSSION_CHANNEL && instrument.family !== 'percussion' && !isCounted) {
    return {
      code: 'instrument-clash',
      text: `Track ${quoted(track.name)} is named like ${instrument.name} but is on channel 10, which General MIDI keeps for percussion; it is taken for ${instrument.name}. Say what it is with parts: ${asYamlKey(track.name)}: instrument.`,
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
  // Where General MIDI has no program of its own for an instrument people set another of its family: a tuba for a tenor horn.
  const hasOwnProgram = catalogue.generalMidi.programs.some((own) => own.instrument === id);
  if (!hasOwnProgram && instrumentById(record.instrument)?.family === instrument.family) return undefined;
  // General MIDI has programs for choirs and none for one singer: any voice takes them.
  if (instrument.family === 'voice' && isSung(record.instrument)) return undefined;
  return {
    code: 'instrument-clash',
    text: `Track ${quoted(track.name)} is named like ${instrument.name} but plays General MIDI program ${program + 1} (${record.name}); it is taken for ${instrument.name}. Say what it is with parts: ${asYamlKey(track.name)}: instrument.`,
  };
}

/** Names of the horn that mean the tenor horn where a brass band plays. */
const PLAIN_HORN: ReadonlySet<string> = new Set(['horn', 'horns', 'hn', 'hns', 'solo horn']);

const UPPER_VOICES: readonly string[] = ['voice-soprano', 'voice-alto', 'voice-tenor'];

/** What a name that is plain elsewhere means in this company: the horns of a brass band are tenor horns. */
function inCompany(choice: CandidateChoice, track: SourceTrack, { kind, scene, tracks }: Company): CandidateChoice {
  const { key, matched } = track.reading;
  // The bajo of a band is its bass guitar, that of a choir the voice below its tenors, as is one on a choir's program (common practice, no source).
  const program = track.raw.program ?? 0;
  const isThere = (id: string): boolean => tracks.some(({ reading }) => reading.candidates.includes(id));
  const ofChoir = scene.sopranos && !scene.saxes && UPPER_VOICES.every(isThere) && program < 32;
  if (choice.id === 'bass-guitar' && matched === 'bajo' && (ofChoir || isSungProgram(program)))
    return { id: 'voice-bass', clear: choice.clear };
  const isPlain = key === undefined || (key.step === 'E' && key.alter === -1);
  const isBandHorn = kind === 'brass-band' && choice.id === 'horn-f' && isPlain && PLAIN_HORN.has(matched);
  return isBandHorn ? { id: 'alto-horn-eflat', clear: choice.clear } : choice;
}

const BAND_KINDS: ReadonlySet<string> = new Set(['band', 'combo', 'big-band', 'song', 'electronic']);
const PLURAL_HORN: ReadonlySet<string> = new Set(['horns', 'hns', 'hrns', 'horn section', 'hn section']);

/** Horns as a pop or soul band says it: all its winds in one track, where a band plays and no other brass or saxophone has a track. */
function isHornSection(
  id: string,
  { reading: { matched, key, numbers, players } }: SourceTrack,
  around: Company,
): boolean {
  if (id !== 'horn-f' || !PLURAL_HORN.has(matched) || key !== undefined || players !== undefined) return false;
  const { kind, scene, families, ids } = around;
  const others = (families.get('brass') ?? 0) - (ids.get('horn-f') ?? 0);
  return (
    numbers.length === 0 && kind !== undefined && BAND_KINDS.has(kind) && !scene.strings && !scene.saxes && others === 0
  );
}

/** B3 is the organ of a band where nothing else is called B. */
function isTonewheelOrgan({ name, reading }: SourceTrack, around: Company): boolean {
  return (
    /^\W*B-?3\b/i.test(name) && reading.matched === 'b' && (around.matched.get('b') ?? 0) === 1 && around.scene.kit
  );
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
  if (isTonewheelOrgan(track, around)) return { instrument: 'organ', by: 'name' };
  const first = chooseCandidate(track, trackPlace, around);
  if (first === undefined) return undefined;
  if (isHornSection(first.id, track, around)) {
    return {
      instrument: UNKNOWN,
      by: 'none',
      question: sectionQuestion(`Track ${quoted(track.name)}`, 'the horns of a band'),
    };
  }
  if (isDrumOfChannel(first.id, track)) return { instrument: 'percussion-unpitched', by: 'channel' };
  const choice = inCompany(first, track, around);
  const key = keyOf(choice.id, track.reading);
  const id = key === undefined ? choice.id : instrumentInKey(choice.id, key);
  const transposition =
    key === undefined || id !== choice.id ? undefined : transpositionOfTrack(id, key, track, around.tracks);
  let question: Question | undefined;
  if (!choice.clear) {
    const others = track.reading.candidates.filter((candidate) => candidate !== choice.id).map(nameOf);
    question = {
      code: 'ambiguous-name',
      text: `Track ${quoted(track.name)} could be ${[nameOf(choice.id), ...others].join(' or ')}; it is taken for ${nameOf(choice.id)}. Say which with parts: ${asYamlKey(track.name)}: instrument.`,
    };
  } else if (id === 'string-ensemble') {
    question = {
      code: 'section-patch',
      text: `Track ${quoted(track.name)} is a patch for a whole string section, not one instrument; ranges and players cannot be checked until it is split into parts.`,
    };
  } else if (track.reading.also.length > 0 && id !== 'percussion-unpitched') {
    question = {
      code: 'other',
      text: `Track ${quoted(track.name)} names more than one instrument (${[id, ...track.reading.also].map(nameOf).join(', ')}); it is taken for ${nameOf(id)}. Say which with parts: ${asYamlKey(track.name)}: instrument.`,
    };
  } else if (track.told === undefined) question = clashOf(track, id);
  return {
    instrument: id,
    by: track.told === undefined ? 'name' : 'note',
    ...(transposition === undefined ? {} : { transposition }),
    ...(question === undefined ? {} : { question }),
  };
}

function sectionQuestion(called: string, section: string): Question {
  return {
    code: 'section-patch',
    text: `${called} stands for a whole group (${section}), not one instrument; ranges, players and level cannot be told until it is split into parts.`,
  };
}

/** Notes of a line may overlap here and there: legato, a run caught late. Share of its notes. */
const A_LINE = 0.05;

/** General MIDI has programs for choirs and none for one singer: one line under a name that is no number's is one (common practice, no source). */
function isOneSinger(instrument: string, track: SourceTrack): boolean {
  return (
    instrument === 'choir' &&
    /^[\p{L} '’.-]+$/u.test(track.name) &&
    !isDefaultName(track.name) &&
    !NAME_OF_A_LINE.test(track.name) &&
    chordShare(track) < A_LINE
  );
}

function byProgram(track: SourceTrack, around: Company, onlyTrack: boolean): Omit<Recognition, 'numbers' | 'players'> {
  const { program, channel } = track.raw;
  const called =
    track.name === ''
      ? `The track without a name (track ${track.raw.track}, channel ${track.raw.channel + 1} of ${track.file.path})`
      : `Track ${quoted(track.name)}`;
  const heard =
    track.told === undefined ? '' : `The note ${quoted(track.told.file)} says ${quoted(track.told.quote, 120)}. `;
  const ask =
    track.name === ''
      ? 'Give the track a name.'
      : `${heard}Say what it is with parts: ${asYamlKey(track.name)}: instrument.`;
  if (channel === PERCUSSION_CHANNEL) return { instrument: 'percussion-unpitched', by: 'channel' };
  if (track.reading.lacking) {
    return {
      instrument: UNKNOWN,
      by: 'none',
      question: {
        code: 'instrument-unknown',
        text: `${called} names an instrument that the catalogue lacks; ranges and level are left out for it. If another comes near, say which with parts: ${asYamlKey(track.name)}: instrument.`,
      },
    };
  }
  if (track.reading.section !== undefined) {
    return {
      instrument: UNKNOWN,
      by: 'none',
      question: sectionQuestion(called, track.reading.section),
    };
  }
  // Program 0 is what many programs send by themselves: it tells something only where others send something else.
  const tells = program !== undefined && (program !== 0 || around.someProgramTells || onlyTrack);
  const record = tells ? catalogue.generalMidi.programs[program] : undefined;
  // SOLO on the program of a choir is a singer.
  if (track.reading.solo && isSung(record?.instrument ?? '')) return { instrument: 'voice', by: 'program' };
  if (record?.instrument !== undefined) {
    const isSection = record.instrument === 'string-ensemble';
    const instrument = isOneSinger(record.instrument, track) ? 'voice' : record.instrument;
    return {
      instrument,
      by: 'program',
      question: {
        code: isSection ? 'section-patch' : 'instrument-guessed',
        text: `${called} does not say what it is; by its General MIDI program ${record.program + 1} (${record.name}) it is taken for ${nameOf(instrument)}. ${ask}`,
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
  // The three of B3 is no third organ.
  if (id === 'organ' && isTonewheelOrgan(track, around)) return { numbers: [] };
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
    const setTransposition =
      set === undefined || setKey === undefined ? undefined : transpositionOfTrack(set, setKey, track, tracks);
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
