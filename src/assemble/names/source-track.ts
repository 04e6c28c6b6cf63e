/** Tracks of a stage with what their names say. */
import { asInstrumentId } from '../../model/music/catalogue.ts';
import type { RawMidiFile, RawStage, RawTrack } from '../../read/raw.ts';
import type { PartSettings, Settings } from '../../read/settings/settings.ts';
import type { NameReading } from './read-name.ts';
import { isDefaultName } from './name-words.ts';
import { readName } from './read-name.ts';
import { isSungProgram } from './said-to-sing.ts';
import { comparableName } from './text.ts';

/** What a note says of a track. */
export interface TrackWords {
  /** Words for the instrument, where the note is plain about it. */
  readonly words?: string;
  /** What it says, word for word (untrusted text). */
  readonly quote: string;
  /** It says that whoever is called so sings, which people say of instruments too. */
  readonly sings?: true;
}

/** What the notes say of a track by its name, or by its number, with the file of the note; undefined where they say nothing of it. */
export type TellTrack = (called: string | number) => (TrackWords & { readonly file: string }) | undefined;

export interface SourceTrack {
  readonly file: RawMidiFile;
  readonly raw: RawTrack;
  /** What the part is called: the track's name, or the file's where that says more; may be ''. */
  readonly name: string;
  readonly reading: NameReading;
  /** Key of the settings that is about this track, with them. */
  readonly settingsKey?: string;
  readonly settings: PartSettings;
  /** What a note says of a track whose name says nothing. Where it has words, `reading` is of them. */
  readonly told?: ReturnType<TellTrack>;
  /** True where the chunk holds several channels. */
  readonly sharesChunk: boolean;
}

/** Name of a file without folder and extension. */
function fileStem(path: string): string {
  return (path.split('/').at(-1) ?? path).replace(/\.[a-z]{1,4}$/i, '');
}

/** Remembers readings: most names come again in every stage. */
export type NameReader = (name: string) => NameReading;

export function nameReader(): NameReader {
  const known = new Map<string, NameReading>();
  return (name) => {
    const found = known.get(name) ?? readName(name);
    known.set(name, found);
    return found;
  };
}

function effectiveName(
  stage: RawStage,
  file: RawMidiFile,
  raw: RawTrack,
  read: NameReader,
): { name: string; reading: NameReading } {
  const own = { name: raw.name, reading: read(raw.name) };
  if (own.reading.candidates.length > 0) return own;
  const offers = [raw.instrumentName];
  if (stage.isFolder) offers.push(fileStem(file.path));
  for (const name of offers) {
    const reading = read(name);
    if (reading.candidates.length > 0) return { name, reading };
  }
  if (own.name === '' && stage.isFolder) return { name: fileStem(file.path), reading: read(fileStem(file.path)) };
  return own;
}

/** All names by which the settings may speak of a track. */
export function namesOfTrack(
  track: Pick<SourceTrack, 'file' | 'raw' | 'name' | 'reading'>,
  isFolder: boolean,
): readonly string[] {
  const names = [track.raw.name, track.name, track.reading.plainName, track.raw.instrumentName];
  if (isFolder) names.push(fileStem(track.file.path));
  return names.filter((name) => name !== '');
}

/** Whether an instrument of the settings is the one that a note has in words. */
function agrees(instrument: string, words: string, read: NameReader): boolean {
  const { candidates } = read(words);
  return (
    candidates.includes(asInstrumentId(instrument)) || read(instrument).candidates.some((id) => candidates.includes(id))
  );
}

/** The number by which people speak of a track that nobody named: that of its default name, or its place in the file; undefined of others. */
function numberCalled(name: string, place: number): number | undefined {
  if (name === '') return place;
  const number = isDefaultName(name) ? /(\d+)\s*$/.exec(name)?.[1] : undefined;
  return number === undefined ? undefined : Number(number);
}

/** Programs of General MIDI that say nothing of who sings, from 0: the first, by default, and a lead that is called voice. */
const OPEN_PROGRAMS: ReadonlySet<number> = new Set([0, 85]);

/** Of a track with the program of an instrument it is a figure of speech that it sings. */
function heardOf(said: ReturnType<TellTrack>, { program = 0 }: RawTrack): ReturnType<TellTrack> {
  const maySing = OPEN_PROGRAMS.has(program) || isSungProgram(program);
  return said?.sings === true && !maySing ? undefined : said;
}

/** What a track is by a note, where the note says it; somebody who sings keeps the name. */
function toldReading(told: ReturnType<TellTrack>, own: NameReading, read: NameReader): NameReading {
  if (told?.words === undefined) return own;
  const { plainName, undividedName } = own;
  return told.sings === true ? { ...read(told.words), plainName, undividedName } : read(told.words);
}

/** The stage's tracks that have notes; `tell` has what notes say of them. */
export function sourceTracks(
  stage: RawStage,
  settings: Settings,
  read: NameReader,
  tell: TellTrack = () => undefined,
): readonly SourceTrack[] {
  const keys = new Map(Object.keys(settings.parts ?? {}).map((name) => [comparableName(name), name]));
  return stage.files.flatMap((file) => {
    const channels = new Map<number, number>();
    for (const raw of file.tracks) {
      if (raw.notes.length > 0) channels.set(raw.track, (channels.get(raw.track) ?? 0) + 1);
    }
    const sounding = file.tracks.filter((raw) => raw.notes.length > 0);
    const numbers = sounding.map(({ name }, place) => numberCalled(name, place + 1));
    return sounding.map((raw, place): SourceTrack => {
      const { name, reading } = effectiveName(stage, file, raw, read);
      const number = numbers[place];
      // Two of one number are not told apart by it.
      const isAlone = number !== undefined && numbers.indexOf(number) === numbers.lastIndexOf(number);
      const byNumber = (): ReturnType<TellTrack> => (isAlone ? tell(number) : undefined);
      const heard = reading.candidates.length === 0 ? heardOf(tell(name) ?? byNumber(), raw) : undefined;
      const known = [...namesOfTrack({ file, raw, name, reading }, stage.isFolder), heard?.words ?? '']
        .map((candidate) => keys.get(comparableName(candidate)))
        .find((key) => key !== undefined);
      const own = (known === undefined ? undefined : settings.parts?.[known]) ?? {};
      const isOverruled =
        own.instrument !== undefined && heard?.words !== undefined && !agrees(own.instrument, heard.words, read);
      const told = isOverruled ? undefined : heard;
      return {
        file,
        raw,
        name,
        reading: toldReading(told, reading, read),
        ...(known === undefined ? {} : { settingsKey: known }),
        settings: own,
        ...(told === undefined ? {} : { told }),
        sharesChunk: (channels.get(raw.track) ?? 0) > 1,
      };
    });
  });
}
