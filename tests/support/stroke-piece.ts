/** A piece of single strokes at its bar lines under changing tempos: what is heard of it tells where the bar lines are. */
import { midiFile, noteOff, noteOn, tempo, track, trackName } from './midi-bytes.ts';

/** Beats a minute of every bar: bars of 0.8 to 1.6 s. */
export const TEMPOS: readonly number[] = [240, 180, 200, 150, 220, 160, 190, 240, 170, 210, 230, 200];
const TICKS = 480;
const BAR = 4 * TICKS;
/** The cello plays from this bar on. */
export const CELLO_FROM = 4;

/** Second at which a bar begins: a bar of four beats lasts 240 / tempo seconds. */
export function strokeSecond(bar: number): number {
  return TEMPOS.slice(0, bar - 1).reduce((sum, bpm) => sum + 240 / bpm, 0);
}

/** One note at every bar line, a little shorter than the bar, so that each is heard to begin. */
function strokes(name: string, channel: number, midi: number, from: number): number[] {
  const bars = TEMPOS.slice(from - 1);
  return track(
    trackName(name),
    ...bars.flatMap((_, index) => [
      noteOn(index === 0 ? (from - 1) * BAR : TICKS, midi, 90, channel),
      noteOff(BAR - TICKS, midi, channel),
    ]),
  );
}

/** A note under everything that a flute has (its lowest is B3 or C4: handbooks of orchestration), so that there is a finding. */
const flute = track(trackName('Flute'), noteOn(4 * BAR, 50, 90, 2), noteOff(BAR - TICKS, 50, 2));

const conductor = track(trackName('Strokes'), ...TEMPOS.map((bpm, index) => tempo(6e7 / bpm, index === 0 ? 0 : BAR)));

const piano = strokes('Piano solo', 0, 72, 1);

/** Its two stages as MIDI files, by name. */
export const STROKE_FILES: Readonly<Record<string, Uint8Array>> = {
  '01 Sketch.mid': midiFile(1, TICKS, conductor, piano),
  '02 With cello.mid': midiFile(1, TICKS, conductor, piano, strokes('Cello', 1, 48, CELLO_FROM), flute),
};

/** The piece as samples of one channel at a rate: a short tone at every bar line after so many seconds of silence. */
export function strokeSamples(rateHz: number, silentSeconds: number): Float32Array {
  const samples = new Float32Array(Math.round(rateHz * (silentSeconds + strokeSecond(TEMPOS.length + 1))));
  const length = Math.round(0.1 * rateHz);
  for (let bar = 1; bar <= TEMPOS.length; bar++) {
    const at = Math.round(rateHz * (silentSeconds + strokeSecond(bar)));
    for (let index = 0; index < length; index++)
      samples[at + index] = 0.5 * Math.sin((2 * Math.PI * 660 * index) / rateHz) * (1 - index / length);
  }
  return samples;
}
