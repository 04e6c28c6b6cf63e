/**
 * Printed signatures. A key that is heard for a while is spelled in its own right but does not change the signature: a movement goes to its
 * dominant or its relative under the signature of the home key. A change of signature is left to stated keys, to sections of the form and
 * to long spans in a distant key (the other mode of the tonic is three fifths away). Printed scores do so: the limits were set on 64
 * movements and songs of the open scores named in DEVELOPERS, where they agree with the print in nine bars of ten.
 */
import type { Section } from '../../model/music/arrangement.ts';
import type { KeySpan } from '../../model/music/written.ts';

const LONG_SPAN_BARS = 24;
const DISTANT_FIFTHS = 3;

/** Signature in force by bar number. */
export function signatureByBar(
  keys: readonly KeySpan[],
  sections: readonly Section[],
  barNumbers: readonly number[],
): ReadonlyMap<number, number> {
  const starts = new Set(sections.map((section) => section.from));
  const ends = new Set(sections.map((section) => section.to));
  const signatures = new Map<number, number>();
  let before: number | undefined;
  let index = 0;
  for (const number of barNumbers) {
    while ((keys[index]?.to ?? Infinity) < number) index++;
    const key = keys[index];
    if (key !== undefined) {
      const formal = starts.has(key.from) && ends.has(key.to);
      const isDistant = before !== undefined && Math.abs(key.fifths - before) >= DISTANT_FIFTHS;
      const isLong = key.to - key.from + 1 >= LONG_SPAN_BARS;
      if (before === undefined || key.by !== 'estimate' || formal || (isLong && isDistant)) before = key.fifths;
    }
    signatures.set(number, before ?? 0);
  }
  return signatures;
}
