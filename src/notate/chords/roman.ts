/** Roman numerals in a key, in the manner of common textbooks: capital for a major third, small for a minor one, figures for inversions. */
import { Interval, RomanNumeral, ScaleType } from 'tonal';
import type { SpelledClass } from '../../model/music/pitch.ts';
import { STEPS, classAt, fifthsOf, pitchClassOf } from '../../model/music/pitch.ts';
import type { ChordQuality } from './chord-templates.ts';
import type { Mode } from '../keys/key-profiles.ts';

const SCALES: Readonly<Record<Mode, readonly ReturnType<typeof Interval.get>[]>> = {
  major: ScaleType.get('major').intervals.map(Interval.get),
  minor: ScaleType.get('minor').intervals.map(Interval.get),
};

/** Degrees on which a diatonic triad is minor or diminished. */
const SMALL_DEGREES: Readonly<Record<Mode, readonly number[]>> = { major: [1, 2, 5, 6], minor: [0, 1, 3] };

/** Figures by inversion (0 root, 1 third, 2 fifth, 3 seventh in the bass) of triads and of seventh chords. */
const TRIAD_FIGURES = ['', '6', '64'] as const;
const SEVENTH_FIGURES = ['7', '65', '43', '42'] as const;

export interface LocalKey {
  readonly tonic: SpelledClass;
  readonly mode: Mode;
  /** A church mode, whose own chords are no applied ones; `mode` is then that of its third. */
  readonly modal?: string;
}

/** Degrees (0 for the final) on which a mode itself has a dominant seventh chord. */
const OWN_SEVENTHS: ReadonlyMap<string, number> = new Map([
  ['dorian', 3],
  ['phrygian', 2],
  ['mixolydian', 0],
  ['lydian', 1],
  ['phrygian dominant', 0],
]);

export interface Degree {
  readonly root: SpelledClass;
  readonly quality: ChordQuality;
  /** 0 where the root is in the bass, then third, fifth, seventh; 0 too where the bass is foreign to the chord. */
  readonly inversion: number;
}

function degreeOf(root: SpelledClass, key: LocalKey): { readonly degree: number; readonly alter: number } {
  // `Interval.distance` loses an octave where the letters are three sharps apart (C flat to A double sharp is no prime).
  const { step, alter } = classAt(fifthsOf(root) - fifthsOf(key.tonic));
  const degree = STEPS.indexOf(step);
  return { degree, alter: alter - (SCALES[key.mode][degree]?.alt ?? 0) };
}

function numeral(degree: number, small: boolean): string {
  return RomanNumeral.names(!small)[degree] ?? '';
}

/** Sign of the quality and figures of the inversion: `o6`, `ø65`, `42`. */
function suffixOf({ quality, inversion }: Degree): string {
  const { romanSuffix, intervals } = quality;
  if (intervals.length > 3) return romanSuffix.replace('7', SEVENTH_FIGURES[inversion] ?? '7');
  return romanSuffix === 'sus4' ? romanSuffix : romanSuffix + (TRIAD_FIGURES[inversion] ?? '');
}

/** Degrees on which a major chord or dominant seventh belongs to the key, so that it is not an applied dominant. */
function isDominantElsewhere(degree: number, alter: number, quality: ChordQuality, { mode }: LocalKey): boolean {
  if (quality.name === 'dominant-seventh') {
    const own = mode === 'minor' && alter === 0 && (degree === 6 || degree === 4);
    return !own && !(degree === 4 && alter === 0);
  }
  if (quality.name !== 'major' || alter !== 0) return false;
  return mode === 'major' ? [1, 2, 5, 6].includes(degree) : degree === 1;
}

/** Numeral of the degree on a pitch class; undefined where it is no degree of the key that can be a tonic for a while, or the tonic itself. */
export function degreeNumeral(pitchClass: number, key: LocalKey): string | undefined {
  const above = (((pitchClass - pitchClassOf(key.tonic)) % 12) + 12) % 12;
  const degree = SCALES[key.mode].findIndex(({ semitones }) => semitones === above);
  if (degree < 1 || (key.mode === 'major' && degree === 6) || (key.mode === 'minor' && degree === 1)) return undefined;
  return numeral(degree, SMALL_DEGREES[key.mode].includes(degree));
}

/** `V7/V`, `viio7/ii`: the name of a chord that belongs to another degree; undefined where it is none. */
function appliedNumeral(chord: Degree, key: LocalKey, nextRoot: number | undefined): string | undefined {
  const { root, quality } = chord;
  const { degree, alter } = degreeOf(root, key);
  const own = pitchClassOf(root);
  if (key.modal !== undefined && alter === 0 && OWN_SEVENTHS.get(key.modal) === degree) return undefined;
  if (isDominantElsewhere(degree, alter, quality, key)) {
    const aim = (own + 5) % 12;
    // A plain major chord is an applied dominant only where its aim follows; a seventh says it by itself.
    const isMeant = nextRoot === aim || (quality.name === 'dominant-seventh' && degree !== 5);
    const target = isMeant ? degreeNumeral(aim, key) : undefined;
    return target === undefined ? undefined : `V${suffixOf(chord)}/${target}`;
  }
  if (quality.name.startsWith('diminished') || quality.name === 'half-diminished') {
    const isLeading = own === (pitchClassOf(key.tonic) + 11) % 12;
    const isSupertonic = quality.name !== 'diminished-seventh' && degree === 1 && alter === 0;
    if (isLeading || isSupertonic) return undefined;
    const target = degreeNumeral((own + 1) % 12, key);
    return target === undefined ? undefined : `vii${suffixOf(chord)}/${target}`;
  }
  return undefined;
}

/** True for a seventh chord on the lowered sixth that goes to the dominant: its seventh is an augmented sixth (Kostka and Payne, Tonal Harmony). */
function isGermanSixth({ quality, root }: Degree, key: LocalKey, nextRoot: number | undefined): boolean {
  const tonic = pitchClassOf(key.tonic);
  return (
    quality.name === 'dominant-seventh' &&
    pitchClassOf(root) === (tonic + 8) % 12 &&
    (nextRoot === (tonic + 7) % 12 || nextRoot === tonic)
  );
}

/** Roman numeral of a chord in a key; `nextRoot` is the pitch class of the chord that follows. */
export function romanNumeral(chord: Degree, key: LocalKey, nextRoot: number | undefined): string {
  if (isGermanSixth(chord, key, nextRoot)) return 'Ger65';
  const applied = appliedNumeral(chord, key, nextRoot);
  if (applied !== undefined) return applied;
  const { degree, alter } = degreeOf(chord.root, key);
  // The leading-note chord of a minor key is written plainly.
  const leading = key.mode === 'minor' && degree === 6 && alter === 1 && chord.quality.small;
  const sign = leading ? '' : alter > 0 ? '#'.repeat(alter) : 'b'.repeat(-alter);
  return sign + numeral(degree, chord.quality.small) + suffixOf(chord);
}
