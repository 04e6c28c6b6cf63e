/**
 * How much of a sound is heard beside others, by R. Parncutt and H. Strasburger, "Applying psychoacoustics in composition: 'harmonic' progressions
 * of 'nonharmonic' sonorities", Perspectives of New Music 32(2), 1994, 88-129: a second opinion beside the auditory filters of `covered-share`.
 * Equations and constants are theirs; the level at the listener's place is our convention.
 */
import { frequencyHz } from '../../../model/music/pitch.ts';
import type { Tone } from './covered-share.ts';

/** Partials of a tone, on the nearest semitone, up to the highest that the model knows. */
const PARTIALS = 11;
const HIGHEST = 120;
/** Masking falls by so many dB for each critical band (unit of pitch height). */
const SLOPE_DB = 12;
/** A level this far over its masked threshold is heard to 63 %. */
const AUDIBLE_DB = 15;
/**
 * From sound power (dB re 1 pW) to the level at a seat: direct sound at 10 m and the reverberation of a hall with about 1200 square metres of
 * absorption take off some 25 dB. Our convention; it matters only where music is so soft that the threshold of hearing counts.
 */
const TO_SEAT_DB = -25;
/** Semitones over which a drum without pitch is spread: 100 Hz to 8 kHz, as in `covered-share`. */
const NOISE_FROM = 43;
const NOISE_TO = 119;

/** Threshold of hearing in dB by semitone. */
const THRESHOLDS = Float64Array.from({ length: HIGHEST + 1 }, (_, midi) => {
  const kiloHertz = frequencyHz(midi) / 1000;
  return 3.64 * kiloHertz ** -0.8 - 6.5 * Math.exp(-0.6 * (kiloHertz - 3.3) ** 2) + 1e-3 * kiloHertz ** 4;
});

/** Pitch height in critical bands of a frequency. */
function pitchHeight(hertz: number): number {
  const kiloHertz = hertz / 1000;
  return 11.17 * Math.log((kiloHertz + 0.312) / (kiloHertz + 14.675)) + 43;
}

/** Amplitude that is left of a masker on the next semitone up. */
const LEFT_AT_NEXT = Float64Array.from(
  { length: HIGHEST },
  (_, midi) => 10 ** ((-SLOPE_DB * (pitchHeight(frequencyHz(midi + 1)) - pitchHeight(frequencyHz(midi)))) / 20),
);

const PARTIAL_STEPS = Array.from({ length: PARTIALS }, (_, index) => 12 * Math.log2(index + 1));
const PARTIAL_POWERS = PARTIAL_STEPS.map((_, index) => 1 / (index + 1) ** 2);
const WHOLE_POWER = PARTIAL_POWERS.reduce((sum, power) => sum + power, 0);

/** Power by semitone of partials whose fundamentals have these powers. Partials on one semitone add. */
function fundamentals(tones: readonly { readonly midi: number; readonly power: number }[]): Float64Array {
  const powers = new Float64Array(HIGHEST + 1);
  for (const { midi, power } of tones) {
    for (const [index, steps] of PARTIAL_STEPS.entries()) {
      const place = Math.round(midi + steps);
      if (place > HIGHEST) break;
      powers[place] = (powers[place] ?? 0) + power * (PARTIAL_POWERS[index] ?? 0);
    }
  }
  return powers;
}

function powersOf(tones: readonly Tone[]): Float64Array {
  const pitched = tones.filter(({ unpitched }) => !unpitched);
  const powers = fundamentals(pitched.map(({ midi, power }) => ({ midi, power: power / WHOLE_POWER })));
  const noise = tones.reduce((sum, tone) => sum + (tone.unpitched ? tone.power : 0), 0);
  if (noise > 0)
    for (let midi = NOISE_FROM; midi <= NOISE_TO; midi++)
      powers[midi] = (powers[midi] ?? 0) + noise / (NOISE_TO - NOISE_FROM + 1);
  return powers;
}

/** Level over the threshold of hearing by semitone; -1 where nothing sounds. */
function levelsOver(powers: Float64Array, toListenerDb: number): Float64Array {
  return powers.map((power, midi) =>
    power === 0 ? -1 : Math.max(0, 10 * Math.log10(power) + toListenerDb - (THRESHOLDS[midi] ?? 0)),
  );
}

function amplitudeOf(level: number | undefined): number {
  return level === undefined || level < 0 ? 0 : 10 ** (level / 20);
}

/** Audibility (0..1) of each partial of a sound beside another: masked by its own other partials, and by all of the other's. */
function audibilitiesBeside(own: Float64Array, other: Float64Array | undefined): Float64Array {
  const masks = own.map((level, midi) => amplitudeOf(level) + amplitudeOf(other?.[midi]));
  // What reaches each semitone from below and from above: two sweeps, as masking falls by the same factor wherever it comes from.
  const reaching = new Float64Array(HIGHEST + 1);
  let sum = 0;
  for (let midi = 1; midi <= HIGHEST; midi++) {
    sum = (sum + (masks[midi - 1] ?? 0)) * (LEFT_AT_NEXT[midi - 1] ?? 0);
    reaching[midi] = sum;
  }
  sum = 0;
  for (let midi = HIGHEST - 1; midi >= 0; midi--) {
    sum = (sum + (masks[midi + 1] ?? 0)) * (LEFT_AT_NEXT[midi] ?? 0);
    reaching[midi] = (reaching[midi] ?? 0) + sum;
  }
  return own.map((level, midi) => {
    if (level < 0) return 0;
    // Its own entry counts as 0 dB.
    const masking = 20 * Math.log10(1 + (reaching[midi] ?? 0) + amplitudeOf(other?.[midi]));
    return 1 - Math.exp(-Math.max(0, level - masking) / AUDIBLE_DB);
  });
}

/**
 * Audibility of a complex tone at a key: its harmonics together, the n-th with the weight 1/n. May exceed 1 (the paper scales it by 3 so that it
 * stands beside that of a pure tone).
 */
export function complexAudibility(pure: Float64Array, key: number): number {
  let sum = 0;
  for (const [index, steps] of PARTIAL_STEPS.entries())
    sum += Math.sqrt((pure[Math.round(key + steps)] ?? 0) / (index + 1));
  return sum ** 2 / 3;
}

/** Audibility of the partials of a chord, by key number, each fundamental at 60 dB: as the paper's examples are worked. */
export function chordAudibilities(keys: readonly number[]): Float64Array {
  const powers = fundamentals([...new Set(keys)].map((midi) => ({ midi, power: 1 })));
  return audibilitiesBeside(levelsOver(powers, 60), undefined);
}

export interface Heard {
  /** Sums of the complex audibilities of the foreground's pitches: as they sound, and alone. */
  readonly heard: number;
  readonly alone: number;
}

/** How audible the pitches of a foreground are beside its background. Powers in pW. A foreground without pitch has no pitch to be heard. */
export function heardBeside(foreground: readonly Tone[], background: readonly Tone[]): Heard {
  const own = levelsOver(powersOf(foreground), TO_SEAT_DB);
  const other = levelsOver(powersOf(background), TO_SEAT_DB);
  const keys = new Set(foreground.flatMap(({ midi, unpitched }) => (unpitched ? [] : [midi])));
  const sumIn = (pure: Float64Array): number => [...keys].reduce((sum, key) => sum + complexAudibility(pure, key), 0);
  return { heard: sumIn(audibilitiesBeside(own, other)), alone: sumIn(audibilitiesBeside(own, undefined)) };
}
