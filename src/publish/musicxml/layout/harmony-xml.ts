/** Chord symbols as `harmony` elements. */
import type { SpelledClass } from '../../../model/music/pitch.ts';
import { classAt, fifthsOf } from '../../../model/music/pitch.ts';
import { CADENTIAL, printedSymbol } from '../../../notate/chords/chords.ts';
import type { ChordSpan } from '../../../model/music/written.ts';
import { element } from '../../../draw/svg.ts';
import { plainTag } from '../xml-text.ts';

/** Names of the standard (simple type `kind-value`) where they differ from ours. */
const KINDS: Readonly<Record<string, string>> = {
  'dominant-seventh': 'dominant',
  'minor-major-seventh': 'major-minor',
};

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
  'major-sixth',
  'minor-sixth',
  'major-minor',
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

/** A six-four over the dominant as its symbol has it: the tonic (a fifth below the dominant) over its fifth. */
function asSymbol(chord: ChordSpan): ChordSpan {
  if (chord.quality !== CADENTIAL) return chord;
  const root = classAt(fifthsOf(chord.root) - 1);
  return { ...chord, root, quality: suffixOf(chord.symbol) === 'm' ? 'minor' : 'major' };
}

/** Root, kind and bass of a chord, without the element around them. */
export function harmonyContent(named: ChordSpan): string {
  const chord = asSymbol(named);
  const kind = KINDS[chord.quality] ?? chord.quality;
  const hasBass = chord.bass.step !== chord.root.step || chord.bass.alter !== chord.root.alter;
  return (
    classTags('root', chord.root) +
    element('kind', { text: suffixOf(chord.symbol) }, KNOWN.has(kind) ? kind : 'other') +
    (hasBass ? classTags('bass', chord.bass) : '')
  );
}
