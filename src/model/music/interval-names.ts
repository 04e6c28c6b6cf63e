/** Intervals by name, as the trade says them, everywhere. */
import { Interval } from 'tonal';
import { counted } from '../words/plain-words.ts';

const NUMBERS: readonly string[] =
  'unison second third fourth fifth sixth seventh octave ninth tenth eleventh twelfth'.split(' ');
const QUALITIES: ReadonlyMap<string, string> = new Map([
  ['m', 'minor '],
  ['M', 'major '],
]);

/** Up to a twelfth by its number; wider ones by octave and rest. */
function nameOf(semitones: number): string {
  const { num, q } = Interval.get(Interval.fromSemitones(semitones));
  const number = q === 'd' ? undefined : NUMBERS[num - 1];
  if (number !== undefined) return (QUALITIES.get(q) ?? '') + number;
  return semitones > 12 ? `octave and a ${nameOf(semitones - 12)}` : 'tritone';
}

const NAMES = Array.from({ length: 24 }, (_, semitones) => nameOf(semitones));
const WHOLE_OCTAVES: readonly string[] = ['', 'octave', 'two octaves', 'three octaves', 'four octaves'];

/** Name of an interval in semitones, whichever way: `minor third`, `twelfth`, `two octaves`; wider ones by number: `31 semitones`. */
export function intervalName(semitones: number): string {
  const size = Math.abs(semitones);
  const name = NAMES[size] ?? (size % 12 === 0 ? WHOLE_OCTAVES[size / 12] : undefined);
  return name ?? counted(size, 'semitone');
}

/** The same with its article: `a fifth`, `an octave`, `two octaves`. */
export function anInterval(semitones: number): string {
  const name = intervalName(semitones);
  if (NAMES[Math.abs(semitones)] === undefined) return name;
  return `${/^(?:oct|elev)/.test(name) ? 'an' : 'a'} ${name}`;
}
