/** Intervals by name, as the trade says them, everywhere. */
import { counted } from './plain-words.ts';

const NAMES: readonly string[] = [
  'unison',
  'minor second',
  'major second',
  'minor third',
  'major third',
  'fourth',
  'tritone',
  'fifth',
  'minor sixth',
  'major sixth',
  'minor seventh',
  'major seventh',
  'octave',
  'minor ninth',
  'major ninth',
  'minor tenth',
  'major tenth',
  'eleventh',
  'octave and a tritone',
  'twelfth',
  'octave and a minor sixth',
  'octave and a major sixth',
  'octave and a minor seventh',
  'octave and a major seventh',
];
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
