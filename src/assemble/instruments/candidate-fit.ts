/** How well each instrument that a name could mean fits its track: program, company, language, range. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Instrument } from '../../model/music/instrument.ts';
import type { Company } from './company.ts';
import { atHome, besideFamily, inScene } from './company.ts';
import type { Language } from '../names/lexicon.ts';
import { isSungProgram } from '../names/said-to-sing.ts';
import type { SourceTrack } from '../names/source-track.ts';
import { foldText } from '../names/text.ts';

function isSax(id: string): boolean {
  return id.startsWith('sax-');
}

/** The channel, counted from zero, that General MIDI keeps for percussion. */
export const PERCUSSION_CHANNEL = 9;

/** Share of the track's notes inside an instrument's absolute range. */
export function shareInRange(track: SourceTrack, id: string): number {
  const range = instrumentById(id)?.extremeRange;
  if (range === undefined || track.raw.notes.length === 0) return 0.5;
  let inside = 0;
  for (const note of track.raw.notes) if (note.midi >= range.low && note.midi <= range.high) inside++;
  return inside / track.raw.notes.length;
}

/** Share of the notes that begin before half of the note before has sounded: chords, not one line. */
export function chordShare({ raw: { notes } }: SourceTrack): number {
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

/** Short names that mean one instrument where others of the kind have the like: AS, TS, BS; Tb 1, Tb 2. */
function shortNameFit(id: string, { reading: { matched, numbers } }: SourceTrack, around: Company): number {
  // Violen are violas in German, and in Dutch the violins, which are first and second and stand beside Altviolen.
  if (matched === 'violen' && id === 'violin') return numbers.length > 0 || around.ids.has('viola') ? 3 : 0;
  // Beside violas under a name of their own nobody calls another one alto: that is the voice.
  if (id === 'viola' && /^(?:altos?|alt)$/.test(matched) && numbers.length === 0 && around.ids.has('viola')) return -4;
  if (matched === 'bs' && id === 'sax-baritone') return around.matched.has('as') || around.matched.has('ts') ? 2 : -8;
  // The figured bass where the cello has a track of its own is the keyboard's.
  if (matched.endsWith('continuo') && id === 'cello' && around.ids.has('cello')) return -8;
  if (matched === 'tb' && id === 'tuba' && (around.matched.get('tb') ?? 0) > 1) return -3;
  return 0;
}

/** Beside a drummer, with no singer next to it, a bass is played. */
function bassOfRhythm(id: string, place: number, { scene, before, after, ids }: Company): number {
  if (!scene.kit || before[place] === 'voice' || after[place] === 'voice') return 0;
  if (id === 'bass-guitar') return 3 + (ids.has('guitar') && before[place] !== 'strings' ? 1.5 : 0);
  return id === 'double-bass' ? 3 : 0;
}

/** The programs 33 to 40 of General MIDI, its group of basses, counted from 0: plucked and electric ones. */
function isBassProgram(program: number): boolean {
  return program >= 32 && program <= 39;
}

function playsProgram({ family, gmPrograms }: Instrument, program: number): boolean {
  return gmPrograms.includes(program) || (family === 'voice' && isSungProgram(program));
}

/** How well a candidate fits: program, neighbours of its kind, language, range. Larger is better; the weights are ours. */
export function fitOf(id: string, place: number, track: SourceTrack, trackPlace: number, around: Company): number {
  const instrument = instrumentById(id);
  if (instrument === undefined) return Number.NEGATIVE_INFINITY;
  const program = track.raw.program ?? 0;
  let fit =
    -0.3 * place + atHome(id, around) + inScene(id, around) + besideFamily(instrument.family, trackPlace, around);
  if (program !== 0) fit += playsProgram(instrument, program) ? 4 : -1;
  if (isSax(id)) {
    if ([...around.ids.keys()].some(isSax)) fit += 2;
  } else if (['strings', 'voice', 'brass'].includes(instrument.family)) {
    const count =
      (around.families.get(instrument.family) ?? 0) + 0.5 * Math.max(0, (around.maybe.get(instrument.family) ?? 0) - 1);
    fit += Math.min(2, count);
  }
  // One that is there already under a plain name is less likely to come again under an ambiguous one.
  if (around.ids.has(id) && id !== 'guitar') fit -= 1.5;
  const own = new Set<Language>(around.languages.keys());
  const name = track.reading.matched;
  for (const language of own) {
    const record = instrument.trackNames[language] ?? [];
    if (record.some((word) => foldText(word).replaceAll('.', '') === name)) fit += 0.5;
  }
  // A baritone behind tenor horns is of their kind, behind saxophones of theirs: scores are written in order.
  if (track.reading.candidates.includes('baritone-horn') && around.before[trackPlace] === instrument.family) fit += 2;
  // Channel 10 is the drums': timbales and campanas are played there by the band, not tuned.
  if (track.raw.channel === PERCUSSION_CHANNEL && id === 'percussion-unpitched') fit += 4;
  fit += crookedFit(id, track, around) + shortNameFit(id, track, around);
  if (track.reading.candidates.includes('voice-bass')) fit += bassOfRhythm(id, trackPlace, around);
  if (instrument.family === 'voice') {
    // Who sings is never heard through a bass guitar, wherever the track stands (common practice, no source).
    if (isBassProgram(program)) fit -= 6;
    // A singer has one line.
    const chords = chordShare(track);
    fit += instrument.polyphony.kind === 'monophonic' ? 1 - 10 * chords : 0;
  }
  return fit + 2 * (shareInRange(track, id) - 1);
}
