/** How the level of one part follows from its notes, controllers, players and trim. */
import type { Part, Stage, TrackRecord } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import { controllerGainDb, playersDb } from '../../model/music/dynamics.ts';
import type { PreparedCurve } from '../../model/music/controller-curve.ts';
import { prepareCurve, settingAt } from '../../model/music/controller-curve.ts';
import { BASS_PIZZICATO_LESS_DB, decayDbPerSecond, pluckedDbPerSecond, tremoloFromSeconds } from './power/decay.ts';
import type { InstrumentPower } from './power/power-of-instrument.ts';
import { powerAtDynamicDb, powerOfInstrument, registerCorrectionDb } from './power/power-of-instrument.ts';

export interface TrackLevels {
  /** The curve that is the dynamic of the notes; undefined where velocity is. */
  readonly dynamic: PreparedCurve | undefined;
  /** Controllers 7 and 11 where they are gains. */
  readonly gains: readonly PreparedCurve[];
  readonly constantGainDb: number;
  readonly decayDbPerSecond: number;
  /** Notes that last so long are held by a tremolo: they do not die away. */
  readonly tremoloFromSeconds: number | undefined;
  /** By how much a note begins softer than a bowed one, dB: of a bass that is plucked; else 0. */
  readonly pluckedLessDb: number;
}

/** Fall in dB a second of a note that lasts so long. */
export function decayOfNote(
  { decayDbPerSecond: rate, tremoloFromSeconds: from }: TrackLevels,
  seconds: number,
): number {
  return from !== undefined && seconds >= from ? 0 : rate;
}

export interface LevelModel {
  readonly power: InstrumentPower;
  /** Players and trim, dB. */
  readonly constantDb: number;
  /** By MIDI key number. */
  readonly registerDb: Float64Array;
  /** True where more notes at once mean fewer players on each: winds, brass, bowed strings, single voices. */
  readonly sharesPlayers: boolean;
  readonly tracks: readonly TrackLevels[];
}

const DYNAMIC_CONTROLLER = { cc1: 1, cc2: 2, cc11: 11 } as const;
const VOLUME_CONTROLLER = 7;
const EXPRESSION_CONTROLLER = 11;
/** Volume of a channel that says nothing, in a file where others do (General MIDI: 100 at reset). */
export const VOLUME_AT_RESET = 100;
/** Under this setting a dynamics controller fades from the softest tone to silence. Our convention. */
const FADE_SETTING = 8;

function curveOf(track: TrackRecord, controller: number): PreparedCurve | undefined {
  const curve = track.curves.find((candidate) => candidate.controller === controller);
  return curve === undefined || curve.points.length === 0 ? undefined : prepareCurve(curve);
}

function trackLevels(part: Part, track: TrackRecord, silentVolumeDb: number, instrumentDecay: number): TrackLevels {
  const isBowed = part.family === 'strings';
  const plucked = isBowed ? pluckedDbPerSecond(part.instrument, track) : undefined;
  const pluckedLessDb = plucked !== undefined && part.instrument === 'double-bass' ? BASS_PIZZICATO_LESS_DB : 0;
  // A plucked note cannot be shaped after its start: velocity is its dynamic, whatever shapes the bowed notes of the part.
  const dynamicController =
    part.dynamics === 'velocity' || plucked !== undefined ? undefined : DYNAMIC_CONTROLLER[part.dynamics];
  const dynamic = dynamicController === undefined ? undefined : curveOf(track, dynamicController);
  const volume = curveOf(track, VOLUME_CONTROLLER);
  const expression = dynamicController === EXPRESSION_CONTROLLER ? undefined : curveOf(track, EXPRESSION_CONTROLLER);
  return {
    dynamic,
    gains: [volume, expression].filter((curve) => curve !== undefined),
    constantGainDb: (volume === undefined ? silentVolumeDb : 0) - pluckedLessDb,
    decayDbPerSecond: plucked ?? instrumentDecay,
    tremoloFromSeconds: tremoloFromSeconds(part.instrument),
    pluckedLessDb,
  };
}

/**
 * Gain of tracks that state no controller 7: that of the reset value where any track of the stage states one, so that both
 * are compared as a General MIDI instrument would play them; 0 dB where none does.
 */
export function gainWithoutVolumeDb(stage: Stage): number {
  const anyVolume = stage.parts.some((part) =>
    part.tracks.some((track) => curveOf(track, VOLUME_CONTROLLER) !== undefined),
  );
  return anyVolume ? controllerGainDb(VOLUME_AT_RESET) : 0;
}

/** Level model of a part; `silentVolumeDb` as `gainWithoutVolumeDb` gives it for the stage. */
export function levelModelOf(part: Part, silentVolumeDb: number): LevelModel {
  const instrument = instrumentById(part.instrument);
  const decay = decayDbPerSecond(part.instrument, instrument?.sustaining ?? true);
  const kind = instrument?.polyphony.kind;
  return {
    power: powerOfInstrument(part.instrument),
    constantDb: playersDb(part.players) + part.trimDb,
    registerDb: Float64Array.from({ length: 128 }, (_, midi) =>
      part.unpitched ? 0 : registerCorrectionDb(part.instrument, midi),
    ),
    sharesPlayers: kind === 'monophonic' || (kind === 'limited' && part.family === 'strings'),
    tracks: part.tracks.map((track) => trackLevels(part, track, silentVolumeDb, decay)),
  };
}

export interface Loudness {
  /** Dynamic 0..1: velocity / 127, or the setting of the dynamics controller / 127. */
  readonly dynamic: number;
  /** dB on top of the power at that dynamic: controllers 7 and 11, and the fade to silence of a controller near zero. */
  readonly gainDb: number;
}

/** Dynamic and gain of a note at a moment of the performance. A controller at zero gives -Infinity dB: silence. */
export function loudnessAt(track: TrackLevels, velocity: number, performedQuarters: number): Loudness {
  let gainDb = track.constantGainDb;
  for (const gain of track.gains) gainDb += controllerGainDb(settingAt(gain, performedQuarters));
  if (track.dynamic === undefined) return { dynamic: velocity / 127, gainDb };
  const setting = settingAt(track.dynamic, performedQuarters);
  if (setting < FADE_SETTING) {
    gainDb += setting <= 0 ? Number.NEGATIVE_INFINITY : 40 * Math.log10(setting / FADE_SETTING);
  }
  return { dynamic: setting / 127, gainDb };
}

/** Level in dB of the whole part playing this note now, before decay; with or without the correction for register. */
export function levelAtDb(model: LevelModel, loudness: Loudness, midi: number | undefined): number {
  const register = midi === undefined ? 0 : (model.registerDb[midi] ?? 0);
  return powerAtDynamicDb(model.power.figures, loudness.dynamic) + model.constantDb + register + loudness.gainDb;
}
