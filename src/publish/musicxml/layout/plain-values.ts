/**
 * Values for notes in free time. Readers that count by values would take a note without one for a quarter; so each has the longest plain value that
 * fits, hidden rests stand for what is left, and `release` (MusicXML 4.0, element `note`: how much later it ends than its duration says) keeps
 * the time that it sounds. No dots, which would be drawn.
 */
import { DIVISIONS_PER_QUARTER, type NoteHead, type WrittenEvent } from '../../../model/music/written.ts';
import { element } from '../../../draw/svg.ts';

/** Names of the standard by the part of a whole note. */
export const TYPES: Readonly<Record<number, string>> = {
  1: 'whole',
  2: 'half',
  4: 'quarter',
  8: 'eighth',
  16: '16th',
  32: '32nd',
  64: '64th',
};

export interface PlainValue {
  /** Divisions. */
  readonly length: number;
  /** Undefined for less than a 64th. */
  readonly type: string | undefined;
}

/** A time as plain values, the longest first. */
export function plainValues(divisions: number): PlainValue[] {
  const values: PlainValue[] = [];
  let left = divisions;
  for (const base of [1, 2, 4, 8, 16, 32, 64]) {
    const length = (4 * DIVISIONS_PER_QUARTER) / base;
    for (; left >= length; left -= length) values.push({ length, type: TYPES[base] });
  }
  return left > 0 ? [...values, { length: left, type: undefined }] : values;
}

/** The attribute with which a note in free time sounds as long as it is held; a tied one is held by its tie. */
export function releaseOf(event: WrittenEvent, head: NoteHead, plain: PlainValue | undefined): string {
  const later = plain === undefined ? 0 : event.length - plain.length;
  return later === 0 || head.tieToNext ? '' : ` release="${String(later)}"`;
}

/** A head that its value would draw the other way: black for short ones and open for long ones. */
export function filledHead({ figure }: WrittenEvent, plain: PlainValue | undefined): string {
  if (plain === undefined) return '';
  const isOpen = plain.length >= 2 * DIVISIONS_PER_QUARTER;
  const isMeant = figure.base <= 2;
  return isOpen === isMeant ? '' : element('notehead', { filled: isMeant ? 'no' : 'yes' }, 'normal');
}
