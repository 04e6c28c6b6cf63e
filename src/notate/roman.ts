/** Roman numerals in a key, in the manner of common textbooks: capital for a major third, small for a minor one. */
import type { SpelledClass } from '../model/pitch.ts';
import { STEPS, pitchClassOf } from '../model/pitch.ts';
import type { KeySpan } from '../model/written.ts';
import type { ChordQuality } from './chord-templates.ts';

const NUMERALS = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'] as const;
const MAJOR_STEPS = [0, 2, 4, 5, 7, 9, 11] as const;
const MINOR_STEPS = [0, 2, 3, 5, 7, 8, 10] as const;
/** Too unsure a key to number degrees in. */
const LEAST_CONFIDENCE = 0.02;

function degreeOf(root: SpelledClass, key: KeySpan): { readonly degree: number; readonly alter: number } {
  const degree = (((STEPS.indexOf(root.step) - STEPS.indexOf(key.tonic.step)) % 7) + 7) % 7;
  const scale = key.mode === 'major' ? MAJOR_STEPS : MINOR_STEPS;
  const above = (((pitchClassOf(root) - pitchClassOf(key.tonic)) % 12) + 12) % 12;
  const alter = ((((above - (scale[degree] ?? 0) + 6) % 12) + 12) % 12) - 6;
  return { degree, alter };
}

function numeral(degree: number, small: boolean): string {
  const text = NUMERALS[degree] ?? '';
  return small ? text.toLowerCase() : text;
}

/** Degrees on which a major chord belongs to the key, so that it is not an applied dominant. */
function isDominantElsewhere(degree: number, alter: number, quality: ChordQuality, key: KeySpan): boolean {
  if (quality.name === 'dominant-seventh') {
    const own = key.mode === 'minor' && alter === 0 && (degree === 6 || degree === 4);
    return !own && !(degree === 4 && alter === 0);
  }
  if (quality.name !== 'major' || alter !== 0) return false;
  return key.mode === 'major' ? [1, 2, 5, 6].includes(degree) : degree === 1;
}

/**
 * Roman numeral of a chord, '' where the key is too unsure. A dominant of another degree is named so (`V7/V`) only where that
 * degree follows (`nextRoot`, pitch class).
 */
export function romanNumeral(
  root: SpelledClass,
  quality: ChordQuality,
  key: KeySpan | undefined,
  nextRoot: number | undefined,
): string {
  if (key === undefined || key.confidence < LEAST_CONFIDENCE) return '';
  const { degree, alter } = degreeOf(root, key);
  const target = (degree + 3) % 7;
  if (
    nextRoot !== undefined &&
    isDominantElsewhere(degree, alter, quality, key) &&
    nextRoot === (pitchClassOf(root) + 5) % 12 &&
    target !== 0
  ) {
    const scale = key.mode === 'major' ? MAJOR_STEPS : MINOR_STEPS;
    const diatonic = (pitchClassOf(key.tonic) + (scale[target] ?? 0)) % 12 === nextRoot;
    const small = key.mode === 'major' ? [1, 2, 5].includes(target) : [0, 3].includes(target);
    if (diatonic) return `V${quality.romanSuffix}/${numeral(target, small)}`;
  }
  // The leading-note chord of a minor key is written plainly.
  const leading = key.mode === 'minor' && degree === 6 && alter === 1 && quality.small;
  const sign = leading ? '' : alter > 0 ? '#'.repeat(alter) : 'b'.repeat(-alter);
  return sign + numeral(degree, quality.small) + quality.romanSuffix;
}
