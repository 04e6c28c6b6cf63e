/** From surveyed track chunks to the tracks and the one conductor of a file; the three formats differ here and only here. */
import type { Conductor, TrackNames } from './midi-conductor.ts';
import { quartersPerTick } from './midi-extent.ts';
import type { ChannelContent } from './midi-notes.ts';
import { counted } from '../../model/words/plain-words.ts';
import type { Division, RawController, RawMidiFile, RawTrack } from '../raw.ts';
import { quoted } from '../clean-text.ts';
import type { Tally } from './tally.ts';
import { withStrayWords } from './words-of-tracks.ts';

export interface SurveyedTrack {
  readonly track: number;
  readonly names: TrackNames;
  readonly conductor: Conductor;
  readonly channels: readonly ChannelContent[];
  readonly lastTick: number;
}

export interface LaidTracks {
  readonly tracks: readonly RawTrack[];
  /** Each list sorted by tick. */
  readonly conductor: Conductor;
  readonly lastNoteTick: number;
  readonly lastTick: number;
}

/** So near to a note, in quarters, does a word of another track begin with it. */
const NEAR_QUARTERS = 0.125;

/** Defaults of Standard MIDI Files 1.0. */
const DEFAULT_MICROSECONDS = 500_000;

/**
 * Program changes and controllers that the first track of a file sends on channels without notes of its own: it sets up
 * the others. Later tracks without notes do not speak for others; many programs send every track on one channel.
 */
interface SetUp {
  readonly programs: ChannelContent['programs'];
  readonly controllers: readonly RawController[];
}

function setUpsOf(surveyed: readonly SurveyedTrack[]): ReadonlyMap<number, SetUp> {
  const setUps = new Map<number, SetUp>();
  for (const { channels } of surveyed.slice(0, 1)) {
    for (const { channel, notes, programs, controllers } of channels) {
      if (notes.length > 0 || (programs.length === 0 && controllers.length === 0)) continue;
      const known = setUps.get(channel);
      setUps.set(channel, {
        programs: [...(known?.programs ?? []), ...programs],
        controllers: [...(known?.controllers ?? []), ...controllers],
      });
    }
  }
  return setUps;
}

function byTick(a: { readonly tick: number }, b: { readonly tick: number }): number {
  return a.tick - b.tick;
}

/** The last program at or before the first note. */
function programAtStart(channel: ChannelContent, setUp: SetUp | undefined): number | undefined {
  const start = channel.notes[0]?.startTick ?? 0;
  const upToStart = (programs: ChannelContent['programs']): number | undefined =>
    programs
      .filter(({ tick }) => tick <= start)
      .sort(byTick)
      .at(-1)?.program;
  return upToStart(channel.programs) ?? upToStart(setUp?.programs ?? []);
}

/** Controllers of the track, and those of a set-up track where the track itself says nothing about a controller. */
function withSetUp(own: readonly RawController[], setUp: SetUp | undefined): readonly RawController[] {
  if (setUp === undefined || setUp.controllers.length === 0) return own;
  const ownNumbers = new Set(own.map(({ controller }) => controller));
  const added = setUp.controllers.filter(({ controller }) => !ownNumbers.has(controller));
  return added.length === 0 ? own : [...own, ...added].sort(byTick);
}

/** The channels of a track that hold notes. */
function soundingChannels({ channels }: SurveyedTrack): readonly ChannelContent[] {
  return channels.filter(({ notes }) => notes.length > 0);
}

function rawTracksOf(
  surveyed: SurveyedTrack,
  setUps: ReadonlyMap<number, SetUp>,
  isSequenceName: boolean,
): readonly RawTrack[] {
  const sounding = soundingChannels(surveyed);
  return sounding.map((content): RawTrack => {
    const setUp = setUps.get(content.channel);
    const program = programAtStart(content, setUp);
    const own = surveyed.names.byChannel.get(content.channel);
    // The name of a track that holds the whole piece is the name of the piece, not of each of its parts.
    const common = isSequenceName && sounding.length > 1 ? { name: '', instrumentName: '' } : surveyed.names;
    return {
      track: surveyed.track,
      channel: content.channel,
      name: own === undefined || own.name === '' ? common.name : own.name,
      instrumentName: own === undefined || own.instrumentName === '' ? common.instrumentName : own.instrumentName,
      ...(program === undefined ? {} : { program }),
      notes: content.notes,
      controllers: withSetUp(content.controllers, setUp),
      largestBend: content.largestBend,
      ...(surveyed.names.lyrics.length > 0 && sounding.length === 1 ? { lyrics: surveyed.names.lyrics } : {}),
    };
  });
}

/** Moves everything later by `ticks`. */
function shifted(surveyed: SurveyedTrack, ticks: number): SurveyedTrack {
  const move = <Event extends { readonly tick: number }>(events: readonly Event[]): readonly Event[] =>
    events.map((event) => ({ ...event, tick: event.tick + ticks }));
  const { conductor } = surveyed;
  return {
    ...surveyed,
    conductor: {
      tempos: move(conductor.tempos),
      meters: move(conductor.meters),
      keySignatures: move(conductor.keySignatures),
      markers: move(conductor.markers),
    },
    names: { ...surveyed.names, lyrics: move(surveyed.names.lyrics) },
    channels: surveyed.channels.map((content) => ({
      ...content,
      notes: content.notes.map((note) => ({
        ...note,
        startTick: note.startTick + ticks,
        endTick: note.endTick + ticks,
      })),
      controllers: move(content.controllers),
      programs: move(content.programs),
    })),
    lastTick: surveyed.lastTick + ticks,
  };
}

/** Starts a pattern with the default tempo and meter where it has none of its own, so that the one before does not go on. */
function withDefaults(pattern: SurveyedTrack): SurveyedTrack {
  const { tempos, meters } = pattern.conductor;
  const { track } = pattern;
  const hasTempo = tempos.some(({ tick }) => tick === 0);
  const hasMeter = meters.some(({ tick }) => tick === 0);
  const conductor: Conductor = {
    ...pattern.conductor,
    tempos: hasTempo ? tempos : [{ tick: 0, microsecondsPerQuarter: DEFAULT_MICROSECONDS, track }, ...tempos],
    meters: hasMeter ? meters : [{ tick: 0, numerator: 4, denominator: 4, track }, ...meters],
  };
  return { ...pattern, conductor };
}

/** Length of a pattern, rounded up to a whole bar of its last meter where ticks allow. */
function patternTicks(pattern: SurveyedTrack, division: Division): number {
  const meter = pattern.conductor.meters.at(-1) ?? { tick: 0, numerator: 4, denominator: 4 };
  const ticksPerBar = Math.round((4 * meter.numerator) / meter.denominator / quartersPerTick(division));
  const bars = Math.ceil((pattern.lastTick - meter.tick) / Math.max(1, ticksPerBar));
  return meter.tick + bars * Math.max(1, ticksPerBar);
}

/** Format 2 holds independent patterns; the standard does not say when they sound. They are laid one after the other. */
function inSuccession(surveyed: readonly SurveyedTrack[], division: Division): readonly SurveyedTrack[] {
  let start = 0;
  return surveyed.map((pattern) => {
    const whole = withDefaults(pattern);
    const moved = shifted(whole, start);
    start += patternTicks(whole, division);
    return moved;
  });
}

function remarkOnEmpty(surveyed: readonly SurveyedTrack[], tally: Tally): void {
  const empty = surveyed.filter(
    ({ track, names, channels }) => track > 1 && names.name !== '' && channels.every(({ notes }) => notes.length === 0),
  );
  if (empty.length === 0) return;
  const shown = empty.slice(0, 6).map(({ names }) => quoted(names.name));
  const rest = empty.length > shown.length ? ' and others' : '';
  tally.add(
    'empty-tracks',
    undefined,
    () => `${counted(empty.length, 'named track')} without notes left out (${shown.join(', ')}${rest}).`,
  );
}

/** Tracks, one a channel that holds notes, and everything about time merged and sorted. */
export function layTracks(
  surveyed: readonly SurveyedTrack[],
  format: RawMidiFile['format'],
  division: Division,
  tally: Tally,
): LaidTracks {
  if (format === 2 && surveyed.length > 1) {
    tally.add(
      'format-2',
      undefined,
      () => `The file holds ${surveyed.length} independent patterns (format 2); they were read one after the other.`,
    );
  }
  const placed = format === 2 ? inSuccession(surveyed, division) : surveyed;
  remarkOnEmpty(placed, tally);
  const setUps = format === 2 ? new Map<number, SetUp>() : setUpsOf(placed);
  const isSequenceName = surveyed.length === 1;
  // Words of a track without notes, or with several channels, are nobody's in particular.
  const stray = placed.filter((track) => soundingChannels(track).length !== 1).map(({ names }) => names.lyrics);
  const tracks = withStrayWords(
    placed.flatMap((track) => rawTracksOf(track, setUps, isSequenceName)),
    stray,
    NEAR_QUARTERS / quartersPerTick(division),
    tally,
  );
  let lastNoteTick = 0;
  for (const { notes } of tracks) for (const { endTick } of notes) lastNoteTick = Math.max(lastNoteTick, endTick);
  const merged = <Key extends keyof Conductor>(key: Key): Conductor[Key] =>
    placed
      .flatMap(({ conductor }) => conductor[key] as readonly { readonly tick: number }[])
      .sort(byTick) as unknown as Conductor[Key];
  return {
    tracks,
    conductor: {
      tempos: merged('tempos'),
      meters: merged('meters'),
      keySignatures: merged('keySignatures'),
      markers: merged('markers'),
    },
    lastNoteTick,
    lastTick: placed.reduce((latest, { lastTick }) => Math.max(latest, lastTick), lastNoteTick),
  };
}
