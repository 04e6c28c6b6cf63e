/**
 * Families in the charts: a name, a colour (by class, see `family-colours`), a hatch and a line pattern, so that
 * no family is told by colour alone.
 */
import type { Family } from '../../../model/music/instrument.ts';
import { element } from '../../svg.ts';

/** In score order. */
export const FAMILIES: readonly Family[] = [
  'woodwind',
  'brass',
  'percussion',
  'plucked',
  'keyboard',
  'voice',
  'strings',
  'unknown',
];

const NAMES: Readonly<Record<Family, string>> = {
  woodwind: 'Woodwind',
  brass: 'Brass',
  percussion: 'Percussion',
  plucked: 'Plucked',
  keyboard: 'Keyboard',
  voice: 'Voices',
  strings: 'Strings',
  unknown: 'Unknown',
};

export function familyName(family: Family): string {
  return NAMES[family];
}

export function familyClass(family: Family): string {
  return `fam-${family}`;
}

/** Hatch of a family: side of the square tile and the path drawn in it. All differ in direction or in kind. */
const HATCHES: Readonly<Record<Family, { readonly side: number; readonly path: string }>> = {
  woodwind: { side: 4, path: 'M0 2H4' },
  brass: { side: 4, path: 'M-1 1L1 -1M0 4L4 0M3 5L5 3' },
  percussion: { side: 4, path: 'M1 1h.9v.9h-.9zM3 3h.9v.9h-.9z' },
  plucked: { side: 4, path: 'M2 0V4' },
  keyboard: { side: 5, path: 'M0 2.5H5M2.5 0V5' },
  voice: { side: 6, path: 'M0 4.5L3 1.5L6 4.5' },
  strings: { side: 4, path: 'M-1 3L1 5M0 0L4 4M3 -1L5 1' },
  unknown: { side: 6, path: 'M2 3a1 1 0 1 0 2 0a1 1 0 1 0 -2 0' },
};

/** Id of a family's hatch within a drawing. */
export function hatchId(prefix: string, family: Family): string {
  return `${prefix}-h-${family}`;
}

/** `<pattern>` elements of the families in use; ids begin with `prefix`, which must be unique to the SVG. */
export function hatchPatterns(prefix: string, families: readonly Family[]): string {
  return families
    .map((family) => {
      const { side, path } = HATCHES[family];
      return element(
        'pattern',
        {
          id: hatchId(prefix, family),
          class: familyClass(family),
          width: side,
          height: side,
          patternUnits: 'userSpaceOnUse',
        },
        element('rect', { class: 'tint', width: side, height: side }) + element('path', { class: 'hatch', d: path }),
      );
    })
    .join('');
}

/** Families that occur among some parts, in score order. */
export function familiesIn(parts: readonly { readonly family: Family }[]): Family[] {
  return FAMILIES.filter((family) => parts.some((part) => part.family === family));
}
