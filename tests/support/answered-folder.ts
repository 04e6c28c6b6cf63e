/** Small folders that are answered: a tune for flute and cello whose bars are all different, with bars put in at will. */
import type { MidiEvent } from 'midi-file';
import { writeMidi } from 'midi-file';
import { prepareFolder } from '../../src/build.ts';
import type { DossierInput } from '../../src/publish/dossier-input.ts';
import { testEffects } from './effects.ts';
import { diskOfFolder } from './memory-disk.ts';
import { toTrack, type TimedEvent } from './midi-track.ts';

const TICKS = 480;
/** Four quarters of each bar as steps above the lowest note: own music, no two bars alike. */
const BARS: readonly (readonly number[])[] = [
  [0, 4, 7, 4],
  [5, 9, 12, 9],
  [7, 11, 14, 11],
  [12, 11, 9, 7],
  [2, 5, 9, 5],
  [4, 7, 11, 12],
  [9, 7, 5, 4],
  [7, 2, 4, 0],
  [14, 12, 7, 9],
  [11, 14, 16, 12],
  [0, 2, 12, 14],
  [16, 9, 11, 5],
];

function track(name: string, program: number, lowest: number, channel: number, bars: readonly number[]): MidiEvent[] {
  const events: TimedEvent[] = [
    { tick: 0, order: 0, event: { deltaTime: 0, meta: true, type: 'trackName', text: name } },
    { tick: 0, order: 1, event: { deltaTime: 0, type: 'programChange', channel, programNumber: program } },
  ];
  bars.forEach((bar, place) => {
    BARS[bar]?.forEach((step, quarter) => {
      const tick = (4 * place + quarter) * TICKS;
      const note = { channel, noteNumber: lowest + step } as const;
      events.push({ tick, order: 2, event: { deltaTime: 0, type: 'noteOn', velocity: 80, ...note } });
      const end = tick + TICKS - 20;
      events.push({ tick: end, order: 0, event: { deltaTime: 0, type: 'noteOff', velocity: 0, ...note } });
    });
  });
  return toTrack(events);
}

/** A MIDI file of these bars, counted from 0; the flute leads from this lowest note on, and the cello lies far below it. */
export function tuneOf(bars: readonly number[], fluteMidi = 72): Uint8Array {
  const conductor = toTrack([
    { tick: 0, order: 0, event: { deltaTime: 0, meta: true, type: 'setTempo', microsecondsPerBeat: 600_000 } },
  ]);
  const tracks = [conductor, track('Flute', 73, fluteMidi, 0, bars), track('Cello', 42, 38, 1, bars)];
  return Uint8Array.from(writeMidi({ header: { format: 1, numTracks: tracks.length, ticksPerBeat: TICKS }, tracks }));
}

export const FIRST_EIGHT: readonly number[] = [0, 1, 2, 3, 4, 5, 6, 7];
/** The same with two bars put in before its fifth. */
export const WITH_TWO_MORE: readonly number[] = [0, 1, 2, 3, 8, 9, 4, 5, 6, 7];

export type Files = readonly (readonly [string, string | Uint8Array])[];

/** The dossier of a folder with these files. Throws an InputError as a build does. */
export function dossierOf(files: Files): Promise<DossierInput> {
  return prepareFolder({ folder: '/tune', singleFile: false }, testEffects(diskOfFolder('/tune', files)));
}
