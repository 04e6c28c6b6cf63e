/**
 * A Standard MIDI File, from bytes to plain data. The way: find header and tracks (midi-container.ts), survey every track
 * and write its sound events out again (midi-events.ts), parse those with `midi-file`, take tempo, meter, key and
 * markers through `@tonejs/midi` (midi-conductor.ts), pair the notes (midi-notes.ts).
 */
import { parseMidi } from 'midi-file';
import type { MidiEvent } from 'midi-file';
import { agreeing, counted } from '../../model/words/plain-words.ts';
import type { Problem } from '../../problems/problem.ts';
import { conductorOf, namesOf } from './midi-conductor.ts';
import type { Conductor, TrackNames } from './midi-conductor.ts';
import { readHeader, walkTracks } from './midi-container.ts';
import { surveyTrack } from './midi-events.ts';
import type { EventBudget } from './midi-events.ts';
import { extentOf, wordsForTick } from './midi-extent.ts';
import {
  MOST_BARS,
  MOST_EVENTS_IN_A_FILE,
  MOST_FILE_BYTES,
  MOST_NOTES_IN_A_FILE,
  MOST_NOTES_IN_A_TRACK,
  MOST_TRACKS,
} from './midi-limits.ts';
import { channelsOf } from './midi-notes.ts';
import { layTracks } from './midi-tracks.ts';
import type { RawMidiFile } from '../raw.ts';
import { makeTally } from './tally.ts';
import type { Tally } from './tally.ts';
import type { SurveyedTrack } from './midi-tracks.ts';

export interface MidiReading {
  /** Undefined where the file was refused; then `problems` says why. */
  readonly file?: RawMidiFile;
  readonly problems: readonly Problem[];
}

/** One track chunk as a file of its own for the parser, with a header that the parser reads and we do not use. */
function parseClean(clean: Uint8Array): readonly MidiEvent[] {
  const file = new Uint8Array(22 + clean.length);
  file.set([0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, 0, 96, 0x4d, 0x54, 0x72, 0x6b]);
  new DataView(file.buffer).setUint32(18, clean.length);
  file.set(clean, 22);
  return parseMidi(file).tracks[0] ?? [];
}

function refusal(path: string, code: string, message: string): MidiReading {
  return { problems: [{ kind: 'refused', code, file: path, message }] };
}

/** The format that the file is read as, with a remark where it is not what the header says. */
function formatOf(said: number, tracks: number, tally: Tally): 0 | 1 | 2 {
  if (said === 1 || said === 2) return said;
  if (said === 0) {
    if (tracks > 1)
      tally.add(
        'format-0-tracks',
        undefined,
        () => `The header promises one track (format 0) and ${tracks} were found; all were read, as format 1.`,
      );
    return tracks > 1 ? 1 : 0;
  }
  tally.add(
    'unknown-format',
    undefined,
    () => `The header gives format ${said}, which does not exist; the file was read as format 1.`,
  );
  return 1;
}

/**
 * Reads a MIDI file. `path` is the one to report (POSIX, relative to the input folder). Never throws on any bytes: what
 * is recoverable is read with remarks (one a kind and track), what is not is refused in one sentence.
 */
export function readMidi(bytes: Uint8Array, path: string): MidiReading {
  if (bytes.length > MOST_FILE_BYTES) {
    const most = `${MOST_FILE_BYTES / 1_000_000} MB`;
    return refusal(
      path,
      'too-large',
      `The file is ${(bytes.length / 1_000_000).toFixed(0)} MB large and at most ${most} are read: export fewer tracks, or leave out what is not music.`,
    );
  }
  const tally = makeTally();
  const reading = readHeader(bytes, tally);
  if (reading.kind === 'refused') return refusal(path, reading.code, reading.message);
  const { header } = reading;
  const budget: EventBudget = { notes: MOST_NOTES_IN_A_FILE, events: MOST_EVENTS_IN_A_FILE };
  const placeOf = wordsForTick(header.division);
  const surveyed: SurveyedTrack[] = [];
  let tooMany: 'notes' | 'events' | undefined;

  const trackCount = walkTracks(bytes, header, tally, (chunk, track) => {
    if (tooMany !== undefined) return header.end;
    const survey = surveyTrack(bytes, chunk, track, budget, tally, placeOf);
    if (survey.kind === 'too-many') {
      tooMany = survey.what;
      return header.end;
    }
    const events = parseClean(survey.clean);
    const names: TrackNames = namesOf(events, track, tally);
    const conductor: Conductor = conductorOf(events, track, tally);
    const channels = channelsOf(events, track, survey.lastTick, tally);
    surveyed.push({ track, names, conductor, channels, lastTick: survey.lastTick });
    return survey.next;
  });

  if (tooMany !== undefined) {
    const most = tooMany === 'notes' ? MOST_NOTES_IN_A_FILE : MOST_EVENTS_IN_A_FILE;
    return refusal(
      path,
      `too-many-${tooMany}`,
      `The file holds more than ${most} ${tooMany}, which no arrangement does: export fewer tracks, or thin out its controllers.`,
    );
  }
  if (trackCount === undefined) {
    return refusal(
      path,
      'too-many-tracks',
      `The file holds more than ${MOST_TRACKS} tracks, which no arrangement does: export fewer.`,
    );
  }
  if (trackCount === 0) {
    return refusal(path, 'no-tracks', 'The file holds a header but no track: export it again.');
  }
  if (trackCount !== header.trackCount) {
    tally.add(
      'track-count',
      undefined,
      () =>
        `The header promises ${counted(header.trackCount, 'track')} and ${trackCount} ${agreeing(trackCount, 'was', 'were')} found.`,
    );
  }

  const format = formatOf(header.format, trackCount, tally);
  const laid = layTracks(surveyed, format, header.division, tally);
  const extent = extentOf(laid.lastNoteTick, laid.lastTick, header.division, laid.conductor.meters);
  if (extent.kind === 'too-long') {
    return refusal(
      path,
      'too-long',
      `The file is some ${extent.bars} bars long and at most ${MOST_BARS} are read: remove what stands far from the music.`,
    );
  }
  if (extent.isShortened) {
    tally.add(
      'far-end',
      undefined,
      () => 'The file ends impossibly far after its last note; it was taken to end with that note.',
    );
  }
  const file: RawMidiFile = {
    path,
    format,
    division: header.division,
    tracks: laid.tracks.filter((track) => track.notes.length <= MOST_NOTES_IN_A_TRACK),
    tempos: laid.conductor.tempos.filter(({ tick }) => tick <= extent.lastTick),
    meters: laid.conductor.meters.filter(({ tick }) => tick <= extent.lastTick),
    keySignatures: laid.conductor.keySignatures.filter(({ tick }) => tick <= extent.lastTick),
    markers: laid.conductor.markers.filter(({ tick }) => tick <= extent.lastTick),
    lastTick: extent.lastTick,
  };
  const trackNames = new Map(surveyed.map(({ track, names }) => [track, names.name]));
  const tooFull = laid.tracks
    .filter((track) => track.notes.length > MOST_NOTES_IN_A_TRACK)
    .map((track): Problem => ({
      kind: 'refused',
      code: 'too-many-notes-in-track',
      file: path,
      track: track.track,
      trackName: track.name,
      message: `This track holds ${track.notes.length} notes and at most ${MOST_NOTES_IN_A_TRACK} are read of one part; it was left out: thin it, or split it into its parts.`,
    }));
  return { file, problems: [...tally.problems(path, trackNames), ...tooFull] };
}
