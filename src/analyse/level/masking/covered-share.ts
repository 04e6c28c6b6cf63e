/** How much of the foreground lies under the background, by auditory filters. */
import { frequencyHz } from '../../../model/music/pitch.ts';
import { erbHzAt, erbNumber, filterShare } from '../../../sound/erb.ts';

/** Bands of a quarter of an ERB, up to 20 kHz. */
export const BANDS_PER_ERB = 4;
const BAND_COUNT = Math.ceil(erbNumber(20000) * BANDS_PER_ERB);
/** Filters further off than three bandwidths let through less than -40 dB. */
const REACH = 3 * BANDS_PER_ERB;
/**
 * A tone is taken as ten partials whose amplitude falls as 1/k, as Parncutt and Strasburger (Perspectives of New Music
 * 32(2), 1994) take it for any instrument; real spectra differ by instrument and dynamic.
 */
const PARTIALS = 10;

const KERNEL = Float64Array.from({ length: REACH + 1 }, (_, offset) => filterShare(offset / BANDS_PER_ERB));

interface Spectrum {
  readonly bands: readonly number[];
  readonly shares: readonly number[];
}

function spectrumOf(midi: number): Spectrum {
  const bands: number[] = [];
  const shares: number[] = [];
  for (let partial = 1; partial <= PARTIALS; partial++) {
    const band = Math.round(erbNumber(frequencyHz(midi) * partial) * BANDS_PER_ERB);
    if (band >= BAND_COUNT) break;
    bands.push(band);
    shares.push(1 / (partial * partial));
  }
  const total = shares.reduce((sum, share) => sum + share, 0);
  return { bands, shares: shares.map((share) => share / total) };
}

/** Percussion without pitch: even over the filters from about 100 Hz to 8 kHz. Our convention. */
const NOISE: Spectrum = (() => {
  const first = Math.round(erbNumber(100) * BANDS_PER_ERB);
  const last = Math.round(erbNumber(8000) * BANDS_PER_ERB);
  const bands = Array.from({ length: last - first + 1 }, (_, index) => first + index);
  return { bands, shares: bands.map(() => 1 / bands.length) };
})();

const SPECTRA: readonly Spectrum[] = Array.from({ length: 128 }, (_, midi) => spectrumOf(midi));

export interface Tone {
  readonly midi: number;
  readonly power: number;
  readonly unpitched: boolean;
}

export interface Covered {
  readonly coveredPower: number;
  readonly foregroundPower: number;
}

function spectrumOfTone(tone: Tone): Spectrum {
  return tone.unpitched ? NOISE : (SPECTRA[tone.midi] ?? NOISE);
}

/** Where the foreground has power: bands in order, and how much in each. */
export interface FrontBands {
  readonly bands: Int32Array;
  readonly powers: Float64Array;
}

export function frontBandsOf(foreground: readonly Tone[]): FrontBands {
  const all = new Float64Array(BAND_COUNT);
  for (const tone of foreground) {
    const { bands, shares } = spectrumOfTone(tone);
    for (let index = 0; index < bands.length; index++) {
      const band = bands[index] as number;
      all[band] = (all[band] as number) + tone.power * (shares[index] as number);
    }
  }
  const filled: number[] = [];
  for (let band = 0; band < BAND_COUNT; band++) if (all[band] !== 0) filled.push(band);
  return {
    bands: Int32Array.from(filled),
    powers: Float64Array.from(filled, (band) => all[band] as number),
  };
}

/** Adds what a tone puts through the auditory filters centred on the bands of the foreground, in their order. */
export function addExcitation(excitation: Float64Array, front: FrontBands, tone: Tone): void {
  const { bands: centres } = front;
  const { bands, shares } = spectrumOfTone(tone);
  // Both run upwards: centres that lie under one partial's reach lie under the next one's too.
  let first = 0;
  for (let index = 0; index < bands.length; index++) {
    const band = bands[index] as number;
    const power = tone.power * (shares[index] as number);
    while (first < centres.length && (centres[first] as number) < band - REACH) first++;
    for (let place = first; place < centres.length; place++) {
      const distance = (centres[place] as number) - band;
      if (distance > REACH) break;
      excitation[place] = (excitation[place] as number) + power * (KERNEL[Math.abs(distance)] as number);
    }
  }
}

/**
 * Power of the foreground's partials, and of those among them that are no stronger than what the background puts through
 * the auditory filter at their place. The covered share of a span is the ratio of the sums. What is covered is added to
 * `coveredByBand` (as `newBands` makes it) where that is given.
 */
export function coveredPower(
  foreground: readonly Tone[],
  background: readonly Tone[],
  coveredByBand?: Float64Array,
): Covered {
  const front = frontBandsOf(foreground);
  const excitation = new Float64Array(front.bands.length);
  for (const tone of background) addExcitation(excitation, front, tone);
  let covered = 0;
  let total = 0;
  for (let place = 0; place < excitation.length; place++) {
    const power = front.powers[place] as number;
    total += power;
    if ((excitation[place] as number) < power) continue;
    covered += power;
    const band = front.bands[place] as number;
    if (coveredByBand !== undefined) coveredByBand[band] = (coveredByBand[band] ?? 0) + power;
  }
  return { coveredPower: covered, foregroundPower: total };
}

/** An empty account of power by band. */
export function newBands(): Float64Array {
  return new Float64Array(BAND_COUNT);
}

/** Lowest and highest frequency of the bands that hold the middle eight tenths of the power; undefined where there is none. */
export function middleOf(bands: Float64Array): { readonly lowHz: number; readonly highHz: number } | undefined {
  const whole = bands.reduce((sum, power) => sum + power, 0);
  if (whole === 0) return undefined;
  const bandAt = (share: number): number => {
    let sum = 0;
    return bands.findIndex((power) => (sum += power) >= whole * share);
  };
  return { lowHz: erbHzAt(bandAt(0.1) / BANDS_PER_ERB), highHz: erbHzAt(bandAt(0.9) / BANDS_PER_ERB) };
}
