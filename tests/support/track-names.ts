/**
 * A table of track names as people write them, with the instrument that each is in its company: part names of open scores, General MIDI
 * names, common usage of four languages (from memory, no product's list). Every name is read among the other tracks of its company, at its
 * place in score order, with music in the middle of its instrument's range.
 */
import { readFileSync, readdirSync } from 'node:fs';
import { nameReader, sourceTracks } from '../../src/assemble/names/source-track.ts';
import type { Recognition } from '../../src/assemble/instruments/recognise.ts';
import { recogniseTracks } from '../../src/assemble/instruments/recognise.ts';
import { instrumentById } from '../../src/model/music/catalogue.ts';
import { rawStage } from '../assemble/raw-folder.ts';

interface NamedTrack {
  readonly name: string;
  readonly company: string;
  /** General MIDI program, zero-based; undefined where the track sends none. */
  readonly program?: number;
  /** Catalogue ids that are right (`unknown` where nobody could tell); `@-8` behind one is its transposition in semitones. */
  readonly instruments: readonly string[];
  readonly source: string;
}

/** `asked`: not right, but the dossier asks; `wrong`: not right and not asked. */
type Verdict = 'right' | 'asked' | 'wrong';

export interface JudgedName extends NamedTrack {
  readonly verdict: Verdict;
  /** What it was taken for. */
  readonly taken: string;
}

/** Who plays beside the name in question: track names with their instruments. */
const COMPANIES: Readonly<Record<string, string>> = {
  orchestra:
    'Flute=flute,Oboe=oboe,Clarinet=clarinet-bflat,Bassoon=bassoon,Horn 1=horn-f,Horn 2=horn-f,Trumpet=trumpet-bflat,Trombone=trombone-tenor,Timpani=timpani,Harp=harp,Violin I=violin,Violin II=violin,Viola=viola,Cello=cello,Double Bass=double-bass',
  classical:
    'Flute=flute,Oboe 1=oboe,Oboe 2=oboe,Bassoon 1=bassoon,Bassoon 2=bassoon,Horn 1=horn-f,D Trumpet 1=trumpet-bflat,D Trumpet 2=trumpet-bflat,Timpani=timpani,Violin 1=violin,Violin 2=violin,Viola=viola,Violoncello=cello,Contrabass=double-bass',
  'orchestra-de':
    'Flöte=flute,Oboe=oboe,Klarinette=clarinet-bflat,Fagott=bassoon,Horn=horn-f,Trompete=trumpet-bflat,Posaune=trombone-tenor,Pauken=timpani,Violine 1=violin,Violine 2=violin,Bratsche=viola,Violoncello=cello,Kontrabass=double-bass',
  'orchestra-it':
    'Flauto=flute,Oboe=oboe,Clarinetto=clarinet-bflat,Fagotto=bassoon,Corno=horn-f,Tromba=trumpet-bflat,Trombone=trombone-tenor,Timpani=timpani,Violini I=violin,Violini II=violin,Viole=viola,Violoncelli=cello,Contrabbassi=double-bass',
  'orchestra-fr':
    'Flûte=flute,Hautbois=oboe,Clarinette=clarinet-bflat,Basson=bassoon,Cor=horn-f,Trompette=trumpet-bflat,Trombone=trombone-tenor,Timbales=timpani,Violons I=violin,Violons II=violin,Altos=viola,Violoncelles=cello,Contrebasses=double-bass',
  quartet: 'Violin I=violin,Violin II=violin,Viola=viola,Cello=cello',
  choir: 'Soprano=voice-soprano,Alto=voice-alto,Tenor=voice-tenor,Bass=voice-bass,Organ=organ',
  'choir-de': 'Sopran=voice-soprano,Alt=voice-alto,Tenor=voice-tenor,Bass=voice-bass,Orgel=organ',
  'choir-it': 'Soprano=voice-soprano,Contralto=voice-alto,Tenore=voice-tenor,Basso=voice-bass,Organo=organ',
  'choir-fr': 'Soprano=voice-soprano,Alto=voice-alto,Ténor=voice-tenor,Basse=voice-bass,Orgue=organ',
  song: 'Piano=piano',
  band: 'Lead Vocal=voice,Electric Guitar=guitar,Bass Guitar=bass-guitar,Drums=percussion-unpitched,Keys=piano',
  combo: 'Trumpet=trumpet-bflat,Tenor Sax=sax-tenor,Piano=piano,Double Bass=double-bass,Drums=percussion-unpitched',
  bigband:
    'Alto Sax 1=sax-alto,Alto Sax 2=sax-alto,Tenor Sax 1=sax-tenor,Tenor Sax 2=sax-tenor,Bari Sax=sax-baritone,Trumpet 1=trumpet-bflat,Trumpet 2=trumpet-bflat,Trumpet 3=trumpet-bflat,Trombone 1=trombone-tenor,Trombone 2=trombone-tenor,Guitar=guitar,Piano=piano,Bass=double-bass,Drums=percussion-unpitched',
  brassband:
    'Solo Cornet=cornet-bflat,Flugelhorn=flugelhorn,Tenor Horn=alto-horn-eflat,1st Baritone=baritone-horn,Euphonium=euphonium,1st Trombone=trombone-tenor,Bass Trombone=trombone-bass,Eb Bass=tuba,Percussion=percussion-unpitched',
  windband:
    'Flute 1=flute,Oboe=oboe,Clarinet 1=clarinet-bflat,Clarinet 2=clarinet-bflat,Alto Sax 1=sax-alto,Tenor Sax=sax-tenor,Trumpet 1=trumpet-bflat,Horn in F=horn-f,Trombone 1=trombone-tenor,Euphonium=euphonium,Tuba=tuba,Percussion=percussion-unpitched',
  percussion: 'Marimba=marimba,Vibraphone=vibraphone,Snare Drum=percussion-unpitched,Bass Drum=percussion-unpitched',
  score:
    'Strings Legato=string-ensemble,Horns a4=horn-f,Trombones=trombone-tenor,Piano=piano,Taikos=percussion-unpitched,Synth Pad=synthesizer,Riser=sound-effect',
  folk: 'Fiddle=violin,Tin Whistle=tin-whistle,Guitar=guitar,Bodhran=percussion-unpitched,Accordion=accordion',
  early: 'Violin 1=violin,Violin 2=violin,Viola=viola,Violoncello=cello,Harpsichord=harpsichord',
  'general-midi': '',
  alone: '',
};

/** Every row of the table, in the order of the files. */
export function namedTracks(): readonly NamedTrack[] {
  const folder = new URL('../assemble/track-names/', import.meta.url);
  return readdirSync(folder)
    .filter((file) => file.endsWith('.tsv'))
    .sort()
    .flatMap((file) =>
      readFileSync(new URL(file, folder), 'utf8')
        .trimEnd()
        .split('\n')
        .slice(1)
        .map((line): NamedTrack => {
          const [name = '', company = '', program = '-', instruments = '', source = ''] = line.split('\t');
          return {
            name,
            company,
            ...(program === '-' ? {} : { program: Number(program) }),
            instruments: instruments.split('|'),
            source,
          };
        }),
    );
}

/** True for the half that was not looked at while words and weights were set: every other value of a hash (FNV-1a) of the name. */
export function isNameKeptAside(name: string): boolean {
  let hash = 0x811c9dc5;
  for (const character of name) hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 0x01000193) >>> 0;
  return (hash >>> 7) % 2 === 1;
}

const CHORDS: ReadonlySet<string> = new Set([
  'choir',
  'piano',
  'organ',
  'string-ensemble',
  'guitar',
  'synthesizer',
  'accordion',
]);

/** Four bars in the middle of an instrument's range. */
export function musicFor(id: string): { midi: number; velocity: number; startTick: number; endTick: number }[] {
  const instrument = instrumentById(id);
  const { low, high } = instrument?.practicalRange ?? instrument?.extremeRange ?? { low: 48, high: 72 };
  const middle = Math.min(72, Math.max(36, Math.round((low + high) / 2)));
  return Array.from({ length: 16 }, (_, index) => index).flatMap((index) =>
    (CHORDS.has(id) ? [0, 4, 7] : [0]).map((above) => ({
      midi: middle + above + [0, 2, 4, 2][index % 4]!,
      velocity: 80,
      startTick: index * 480,
      endTick: index * 480 + 460,
    })),
  );
}

const orderOf = (id: string): number => instrumentById(id)?.scoreOrder ?? 1000;
const idOf = (instrument: string): string => instrument.split('@')[0] ?? '';

const read = nameReader();

/** What a name is taken for among its company; the member of its own kind makes room for it. */
function recognised(track: NamedTrack): Recognition {
  const own = idOf(track.instruments[0] ?? '');
  const company = (COMPANIES[track.company] ?? '')
    .split(',')
    .filter((member) => member !== '')
    .map((member) => {
      const [name = '', id = ''] = member.split('=');
      return { name, id };
    })
    .filter(({ id, name }) => name !== track.name && (id !== own || track.company === 'percussion'));
  const before = company.filter(({ id }) => orderOf(id) <= orderOf(own));
  const after = company.slice(before.length);
  const members = [...before, { name: track.name, id: own }, ...after];
  const stage = rawStage('01', {
    tracks: members.map(({ name, id }, index) => ({
      name,
      notes: musicFor(id),
      channel: id === 'percussion-unpitched' && name !== track.name ? 9 : index % 9,
      ...(name === track.name && track.program !== undefined ? { program: track.program } : {}),
    })),
  });
  const found = recogniseTracks(sourceTracks(stage, {}, read), read)[before.length];
  if (found === undefined) throw new Error(`no track for ${track.name}`);
  return found;
}

/** The verdict on one name. */
export function judgeName(track: NamedTrack): JudgedName {
  const { instrument, transposition, question } = recognised(track);
  const semitones = transposition?.semitones ?? instrumentById(instrument)?.transposition.semitones ?? 0;
  const isRight = track.instruments.some((one) => one === instrument || one === `${instrument}@${String(semitones)}`);
  return {
    ...track,
    taken: track.instruments.some((one) => one.includes('@')) ? `${instrument}@${String(semitones)}` : instrument,
    verdict: isRight ? 'right' : question === undefined ? 'wrong' : 'asked',
  };
}
