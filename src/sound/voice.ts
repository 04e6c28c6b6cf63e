/**
 * The voice that plays a sketch: a pure function from notes and a stretch of time to samples. Every sample follows from the start of its note,
 * so that any stretch can be rendered by itself and stretches fit together without a seam.
 */
import { K_OFFSET_DB } from './k-weighting.ts';
import { lastBegun } from './last-begun.ts';
import type { Sketch, SketchLine, SketchNote } from './sketch.ts';
import { TIMBRES, waveformOf } from './waveform.ts';

/** Whose notes are heard. */
export type Choice =
  | { readonly kind: 'all' }
  | { readonly kind: 'front' }
  | { readonly kind: 'back' }
  | { readonly kind: 'alone' | 'without'; readonly partId: string };

/** A stopped note fades within this time. */
const RELEASE_SECONDS = 0.06;
/** Levels are worked out once for so many samples and are straight in between. */
const STEP = 64;
/**
 * Loudness of the loudest beat of a sketch, both loudspeakers together: that of a broadcast programme (EBU R 128: -23 LUFS), here for the
 * loudest moment instead of the whole. One channel gives 3 dB less.
 */
export const LOUDEST_LUFS = -23;
/** No sample is larger, whatever the notes: half of full scale. Up to `SOFT_FROM` nothing is touched. */
export const CEILING = 0.5;
const SOFT_FROM = 0.35;

/** True for a note that is heard. */
function isHeard(choice: Choice, partId: string | undefined, note: SketchNote): boolean {
  if (choice.kind === 'front') return note.isFront;
  if (choice.kind === 'back') return !note.isFront;
  if (choice.kind === 'all') return true;
  return (partId === choice.partId) === (choice.kind === 'alone');
}

/** A sample brought under the ceiling: straight below `SOFT_FROM`, then ever flatter. */
export function limited(sample: number): number {
  const size = Math.abs(sample);
  if (size <= SOFT_FROM) return sample;
  const room = CEILING - SOFT_FROM;
  return Math.sign(sample) * (SOFT_FROM + room * Math.tanh((size - SOFT_FROM) / room));
}

/** What the controllers of a line add at a moment, dB. */
function shapeDb(shape: SketchLine['shape'], second: number): number {
  const index = lastBegun(shape, second, (point) => point.second);
  const [before, after] = [shape[index], shape[index + 1]];
  if (before === undefined || after === undefined) return (before ?? after)?.db ?? 0;
  return before.db + ((after.db - before.db) * (second - before.second)) / (after.second - before.second);
}

function addNote(
  samples: Float32Array,
  from: number,
  rate: number,
  line: SketchLine,
  note: SketchNote,
  toFullScaleDb: number,
): void {
  const { samples: cycle, samplesPerSecond, weightedPower } = waveformOf(line.timbre, note.midi);
  const mask = cycle.length - 1;
  // Parts a few cents apart do not cancel each other in unison.
  const pace = samplesPerSecond * 2 ** ((((line.part * 5) % 7) - 3) / 1200);
  const attack = line.decayDbPerSecond > 0 ? 0.004 : TIMBRES[line.timbre].attackSeconds;
  const first = Math.max(0, Math.ceil((note.start - from) * rate));
  const last = Math.min(samples.length, Math.floor((note.end + RELEASE_SECONDS - from) * rate));
  const gainAt = (index: number): number => {
    const second = from + index / rate;
    const age = second - note.start;
    const db = note.levelDb + shapeDb(line.shape, second) - line.decayDbPerSecond * age + toFullScaleDb;
    const fade = Math.min(1, age / attack) * Math.max(0, Math.min(1, 1 + (note.end - second) / RELEASE_SECONDS));
    return (fade * 10 ** (db / 20)) / Math.sqrt(weightedPower);
  };
  // Steps stand at the same moments however the time is cut into stretches, or a seam would be heard.
  const grid = Math.round(from * rate);
  let index = first;
  while (index < last) {
    const end = Math.min(last, index + STEP - ((((grid + index) % STEP) + STEP) % STEP));
    const gain = gainAt(index);
    const slope = (gainAt(end) - gain) / (end - index);
    for (let at = index; at < end; at++) {
      const place = (from + at / rate - note.start) * pace + (note.midi * 997 + line.part * 331);
      const whole = Math.floor(place);
      const here = cycle[whole & mask] ?? 0;
      const wave = here + ((cycle[(whole + 1) & mask] ?? 0) - here) * (place - whole);
      samples[at] = (samples[at] ?? 0) + wave * (gain + slope * (at - index));
    }
    index = end;
  }
}

/**
 * Samples of one channel from `from` (seconds) on. `loudestDb` is the level that sounds at `LOUDEST_LUFS`, the same for all stages that are
 * compared.
 */
export function renderSketch(
  sketch: Pick<Sketch, 'parts' | 'lines'>,
  choice: Choice,
  span: { readonly from: number; readonly length: number; readonly rate: number },
  loudestDb: number,
): Float32Array {
  const samples = new Float32Array(span.length);
  const to = span.from + span.length / span.rate;
  const toFullScaleDb = LOUDEST_LUFS - 10 * Math.log10(2) - K_OFFSET_DB - loudestDb;
  for (const line of sketch.lines) {
    const partId = sketch.parts[line.part]?.id;
    for (const note of line.notes) {
      if (note.start >= to) break;
      if (note.end + RELEASE_SECONDS <= span.from || !isHeard(choice, partId, note)) continue;
      addNote(samples, span.from, span.rate, line, note, toFullScaleDb);
    }
  }
  for (let index = 0; index < samples.length; index++) samples[index] = limited(samples[index] ?? 0);
  return samples;
}
