/** Chord symbols as `harmony` elements. */
import type { SpelledClass } from '../../model/pitch.ts';
import { printedSymbol } from '../../notate/chords.ts';
import type { ChordSpan } from '../../model/written.ts';
import { element } from '../../draw/svg.ts';
import { plainTag } from './xml-text.ts';

/** Names of the standard (simple type `kind-value`) where they differ from ours. */
const KINDS: Readonly<Record<string, string>> = { 'dominant-seventh': 'dominant' };

/** Our qualities that the standard has. */
const KNOWN = new Set([
  'major',
  'minor',
  'dominant',
  'minor-seventh',
  'diminished',
  'half-diminished',
  'diminished-seventh',
  'major-seventh',
  'suspended-fourth',
  'augmented',
]);

function classTags(name: 'root' | 'bass', { step, alter }: SpelledClass): string {
  return element(name, {}, plainTag(`${name}-step`, step) + (alter === 0 ? '' : plainTag(`${name}-alter`, alter)));
}

/** What stands after the root in the symbol: `m7♭5`, '' for a major triad. */
function suffixOf(symbol: string): string {
  return printedSymbol(symbol)
    .replace(/^[A-G](♭♭|♭|♯♯|♯)?/, '')
    .replace(/\/.*$/, '');
}

/** Root, kind and bass of a chord, without the element around them. */
export function harmonyContent(chord: ChordSpan): string {
  const kind = KINDS[chord.quality] ?? chord.quality;
  const hasBass = chord.bass.step !== chord.root.step || chord.bass.alter !== chord.root.alter;
  return (
    classTags('root', chord.root) +
    element('kind', { text: suffixOf(chord.symbol) }, KNOWN.has(kind) ? kind : 'other') +
    (hasBass ? classTags('bass', chord.bass) : '')
  );
}
