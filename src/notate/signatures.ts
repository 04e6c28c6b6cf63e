/**
 * Printed signatures. A key that passes for a few bars is spelled in its own right but does not change the signature: that is left to
 * stated keys, to long spans and to spans that are sections of the form.
 */
import type { Section } from '../model/arrangement.ts';
import type { KeySpan } from '../model/written.ts';

const LONG_SPAN_BARS = 16;

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
      const changes = key.by !== 'estimate' || formal || key.to - key.from + 1 >= LONG_SPAN_BARS;
      if (before === undefined || changes) before = key.fifths;
    }
    signatures.set(number, before ?? 0);
  }
  return signatures;
}
