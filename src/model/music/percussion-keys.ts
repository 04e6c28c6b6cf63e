/**
 * Unpitched sounds by MIDI key number: names of the percussion key map of General MIDI 1 (from memory), ids of the MusicXML 4.0
 * standard sounds, and places on a staff of five lines with a percussion clef (a common drum-set layout, from memory).
 */
import type { SpelledPitch, Step } from './pitch.ts';

export interface PercussionKey {
  readonly name: string;
  /** '' where no sound of the standard fits. */
  readonly sound: string;
  /** As a pitch in the treble clef. */
  readonly display: Pick<SpelledPitch, 'step' | 'octave'>;
  readonly head: 'normal' | 'x' | 'circle-x' | 'triangle';
}

type Row = readonly [midi: number, name: string, sound: string, display: string, head?: PercussionKey['head']];

const ROWS: readonly Row[] = [
  [35, 'Acoustic bass drum', 'drum.bass-drum', 'E4'],
  [36, 'Bass drum', 'drum.bass-drum', 'F4'],
  [37, 'Side stick', 'drum.snare-drum', 'C5', 'x'],
  [38, 'Snare drum', 'drum.snare-drum', 'C5'],
  [39, 'Hand clap', 'effect.hand-clap', 'C5', 'x'],
  [40, 'Electric snare', 'drum.snare-drum.electric', 'C5'],
  [41, 'Low floor tom', 'drum.tom-tom', 'G4'],
  [42, 'Closed hi-hat', 'metal.hi-hat', 'G5', 'x'],
  [43, 'High floor tom', 'drum.tom-tom', 'A4'],
  [44, 'Pedal hi-hat', 'metal.hi-hat', 'D4', 'x'],
  [45, 'Low tom', 'drum.tom-tom', 'B4'],
  [46, 'Open hi-hat', 'metal.hi-hat', 'G5', 'circle-x'],
  [47, 'Low-mid tom', 'drum.tom-tom', 'D5'],
  [48, 'High-mid tom', 'drum.tom-tom', 'D5'],
  [49, 'Crash cymbal 1', 'metal.cymbal.crash', 'A5', 'x'],
  [50, 'High tom', 'drum.tom-tom', 'E5'],
  [51, 'Ride cymbal 1', 'metal.cymbal.ride', 'F5', 'x'],
  [52, 'Chinese cymbal', 'metal.cymbal.chinese', 'B5', 'x'],
  [53, 'Ride bell', 'metal.cymbal.ride', 'F5', 'x'],
  [54, 'Tambourine', 'drum.tambourine', 'C5', 'x'],
  [55, 'Splash cymbal', 'metal.cymbal.splash', 'B5', 'x'],
  [56, 'Cowbell', 'metal.bells.cowbell', 'E5', 'triangle'],
  [57, 'Crash cymbal 2', 'metal.cymbal.crash', 'B5', 'x'],
  [58, 'Vibraslap', 'rattle.vibraslap', 'C5', 'x'],
  [59, 'Ride cymbal 2', 'metal.cymbal.ride', 'F5', 'x'],
  [60, 'High bongo', 'drum.bongo', 'E5'],
  [61, 'Low bongo', 'drum.bongo', 'C5'],
  [62, 'Mute high conga', 'drum.conga', 'E5', 'x'],
  [63, 'Open high conga', 'drum.conga', 'E5'],
  [64, 'Low conga', 'drum.conga', 'C5'],
  [65, 'High timbale', 'drum.timbale', 'E5'],
  [66, 'Low timbale', 'drum.timbale', 'C5'],
  [67, 'High agogo', 'metal.bells.agogo', 'E5'],
  [68, 'Low agogo', 'metal.bells.agogo', 'C5'],
  [69, 'Cabasa', 'rattle.cabasa', 'C5', 'x'],
  [70, 'Maracas', 'rattle.maraca', 'C5', 'x'],
  [71, 'Short whistle', 'effect.whistle', 'E5'],
  [72, 'Long whistle', 'effect.whistle', 'E5'],
  [73, 'Short guiro', 'wood.guiro', 'C5', 'x'],
  [74, 'Long guiro', 'wood.guiro', 'C5', 'x'],
  [75, 'Claves', 'wood.claves', 'C5', 'x'],
  [76, 'High wood block', 'wood.wood-block', 'E5', 'triangle'],
  [77, 'Low wood block', 'wood.wood-block', 'C5', 'triangle'],
  [78, 'Mute cuica', 'drum.cuica', 'C5', 'x'],
  [79, 'Open cuica', 'drum.cuica', 'C5'],
  [80, 'Mute triangle', 'metal.triangle', 'G5', 'x'],
  [81, 'Open triangle', 'metal.triangle', 'G5', 'triangle'],
];

const BY_KEY: ReadonlyMap<number, PercussionKey> = new Map(
  ROWS.map(([midi, name, sound, display, head = 'normal']) => [
    midi,
    { name, sound, head, display: { step: display.charAt(0) as Step, octave: Number(display.charAt(1)) } },
  ]),
);

/** What a key strikes; a key outside the map stands on the middle line under its number. */
export function percussionKey(midi: number): PercussionKey {
  return (
    BY_KEY.get(midi) ?? { name: `Key ${String(midi)}`, sound: '', display: { step: 'B', octave: 4 }, head: 'normal' }
  );
}
