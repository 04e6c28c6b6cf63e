/** Power by auditory band of a recording, one look after another. */
import FFT from 'fft.js';
import { erbNumber } from '../erb.ts';

/** Bands of one ERB, by their place on the scale of ERB numbers, up to 20 kHz. */
export const BAND_COUNT = Math.ceil(erbNumber(20000)) + 1;

/** Length of the stretch that is looked at, at any rate: it tells tones a third apart from about 100 Hz on, and onsets to some milliseconds. */
const WINDOW_SECONDS = 0.04;

export interface BandSpectrum {
  /** Samples that one look takes. */
  readonly size: number;
  /** Mean square by band of `size` samples, of two channels together, from a place on. Valid until the next call. */
  readonly look: (left: Float64Array, right: Float64Array, from: number) => Float64Array;
}

/** Two channels are transformed as one of complex numbers: their powers add up in each pair of lines that mirror each other. */
export function bandSpectrum(rateHz: number): BandSpectrum {
  const size = 2 ** Math.ceil(Math.log2(WINDOW_SECONDS * rateHz));
  const fft = new FFT(size);
  // In the middle of the transform, silence on both sides.
  const width = Math.round(WINDOW_SECONDS * rateHz);
  const lead = (size - width) >> 1;
  const window = Float64Array.from({ length: size }, (_, index) =>
    index < lead || index >= lead + width ? 0 : 0.5 - 0.5 * Math.cos((2 * Math.PI * (index - lead)) / width),
  );
  const windowPower = window.reduce((sum, weight) => sum + weight * weight, 0);
  const scale = 1 / (windowPower * size);
  const half = size / 2;
  const bandOfLine = Uint8Array.from({ length: half }, (_, line) =>
    Math.min(BAND_COUNT - 1, Math.round(erbNumber((line * rateHz) / size))),
  );
  const given = new Float64Array(2 * size);
  const lines = new Float64Array(2 * size);
  const bands = new Float64Array(BAND_COUNT);
  const look = (left: Float64Array, right: Float64Array, from: number): Float64Array => {
    for (let index = 0; index < size; index++) {
      const weight = window[index] as number;
      given[2 * index] = (left[from + index] as number) * weight;
      given[2 * index + 1] = (right[from + index] as number) * weight;
    }
    fft.transform(lines, given);
    bands.fill(0);
    for (let line = 1; line < half; line++) {
      const mirror = size - line;
      const real = lines[2 * line] as number;
      const imaginary = lines[2 * line + 1] as number;
      const mirrorReal = lines[2 * mirror] as number;
      const mirrorImaginary = lines[2 * mirror + 1] as number;
      const band = bandOfLine[line] as number;
      bands[band] =
        (bands[band] as number) +
        scale * (real * real + imaginary * imaginary + mirrorReal * mirrorReal + mirrorImaginary * mirrorImaginary);
    }
    return bands;
  };
  return { size, look };
}
