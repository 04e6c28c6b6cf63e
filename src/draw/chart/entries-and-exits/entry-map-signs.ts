/**
 * Signs for how a part enters and leaves. Brackets open and close a span:
 *
 *     from nothing / to nothing   the band grows from a point, with a small ring at the tip (the ring of `dal niente`)
 *     at once                     a full square bracket
 *     under a sounding note       a dotted stem with an open lozenge
 */
import type { EntryKind, ExitKind } from '../../../model/readings/pacing.ts';
import { element, round } from '../../svg.ts';

/** Paths to be drawn, by how they are drawn; each is '' where nothing is. */
export interface SignPaths {
  readonly solid: string;
  readonly dotted: string;
  readonly open: string;
}

const NO_SIGNS: SignPaths = { solid: '', dotted: '', open: '' };

/** The sign of an entry or exit at (x, y); `half` is half the height of a bracket. */
export function signPaths(
  kind: EntryKind | ExitKind,
  side: 'entry' | 'exit',
  x: number,
  y: number,
  half: number,
): SignPaths {
  const inward = side === 'entry' ? 1 : -1;
  switch (kind) {
    case 'at-once': {
      const foot = round(3.2 * inward);
      const back = round(-3.2 * inward);
      const edge = x + 0.8 * inward;
      const solid = `M${round(edge + 3.2 * inward)} ${round(y - half)}h${back}v${round(2 * half)}h${foot}`;
      return { ...NO_SIGNS, solid };
    }
    case 'from-nothing':
    case 'to-nothing': {
      const radius = 2.3;
      const open = `M${round(x - radius)} ${round(y)}a${radius} ${radius} 0 1 0 ${2 * radius} 0a${radius} ${radius} 0 1 0 ${-2 * radius} 0z`;
      return { ...NO_SIGNS, open };
    }
    case 'under-sounding-note': {
      const reach = 2.8;
      const dotted = `M${round(x)} ${round(y - half)}v${round(2 * half)}`;
      const open = `M${round(x - reach)} ${round(y)}l${reach} ${-reach}l${reach} ${reach}l${-reach} ${reach}z`;
      return { ...NO_SIGNS, dotted, open };
    }
  }
}

export function joinSigns(all: readonly SignPaths[]): SignPaths {
  return {
    solid: all.map((paths) => paths.solid).join(''),
    dotted: all.map((paths) => paths.dotted).join(''),
    open: all.map((paths) => paths.open).join(''),
  };
}

export function drawSigns(paths: SignPaths): string {
  return (
    (paths.solid === '' ? '' : element('path', { class: 'sign-solid', d: paths.solid })) +
    (paths.dotted === '' ? '' : element('path', { class: 'sign-dotted', d: paths.dotted })) +
    (paths.open === '' ? '' : element('path', { class: 'sign-open', d: paths.open }))
  );
}
