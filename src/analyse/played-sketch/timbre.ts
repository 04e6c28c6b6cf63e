/** Which of the few timbres of a sketch a part is given. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Family } from '../../model/music/instrument.ts';
import type { Timbre } from '../../sound/sketch.ts';

const BY_FAMILY: Readonly<Record<Family, Timbre>> = {
  woodwind: 'blown',
  brass: 'brass',
  percussion: 'bars',
  plucked: 'plucked',
  keyboard: 'struck',
  voice: 'sung',
  strings: 'bowed',
  unknown: 'plain',
};

/** Timbre of a part; `decays` where the notes of the track are plucked or struck, whatever the family. */
export function timbreOf({ family, unpitched }: Pick<Part, 'family' | 'unpitched'>, decays: boolean): Timbre {
  if (unpitched) return 'noise';
  return decays && family === 'strings' ? 'plucked' : BY_FAMILY[family];
}
