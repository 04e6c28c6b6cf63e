/** Reads an engraved system back from its markup, so that tests judge what a page would show. */
import { JSDOM } from 'jsdom';
import { glyphOf, wordWidthPx } from '../../../src/draw/engrave/glyph-table.ts';

export interface DrawnGlyph {
  /** SMuFL code point in capital hex, e.g. `E0A4`. */
  readonly code: string;
  readonly x: number;
  /** y from the top line of its staff. */
  readonly y: number;
  readonly scale: number;
}

export interface Box {
  readonly what: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface DrawnStaff {
  /** y of the top line in the system. */
  readonly y: number;
  readonly glyphs: readonly DrawnGlyph[];
  /** Path data by stroke width. */
  readonly strokes: ReadonlyMap<string, string>;
}

export interface DrawnSystem {
  readonly width: number;
  readonly height: number;
  readonly staves: readonly DrawnStaff[];
  readonly texts: readonly { readonly kind: string; readonly text: string; readonly box: Box }[];
  readonly svg: Element;
}

function numbersOf(text: string | null): number[] {
  return [...(text ?? '').matchAll(/-?\d+(?:\.\d+)?/g)].map((match) => Number(match[0]));
}

const parser = new new JSDOM('').window.DOMParser();

/** Parses as XML: markup that is not well formed throws. */
export function readSystem(markup: string): DrawnSystem {
  const document = parser.parseFromString(
    markup.replace('<svg ', '<svg xmlns="http://www.w3.org/2000/svg" '),
    'image/svg+xml',
  );
  const svg = document.documentElement;
  if (svg.localName !== 'svg') throw new Error('not well formed');
  const [, , width = 0, height = 0] = numbersOf(svg.getAttribute('viewBox'));
  const groups = [...svg.children].filter((child) => child.getAttribute('class') === 'sn-staff');
  const staves = groups.map((group): DrawnStaff => {
    const y = numbersOf(group.getAttribute('transform'))[1] ?? 0;
    const glyphs = [...group.querySelectorAll('use')].map((use): DrawnGlyph => {
      const [x = 0, glyphY = 0, scale = 1] = use.hasAttribute('transform')
        ? numbersOf(use.getAttribute('transform'))
        : [Number(use.getAttribute('x')), Number(use.getAttribute('y'))];
      return { code: (use.getAttribute('href') ?? '').replace('#g', ''), x, y: glyphY, scale };
    });
    for (const line of group.querySelectorAll('polyline')) {
      const code = /url\(#m(\w+)\)/.exec(line.getAttribute('marker-mid') ?? '')?.[1] ?? '';
      const places = numbersOf(line.getAttribute('points'));
      for (let index = 0; index + 1 < places.length; index += 2) {
        glyphs.push({ code, x: places[index]!, y: places[index + 1]!, scale: 1 });
      }
    }
    const strokes = new Map(
      [...group.querySelectorAll('path[stroke-width]')].map((path) => [
        path.getAttribute('stroke-width') ?? '',
        path.getAttribute('d') ?? '',
      ]),
    );
    return { y, glyphs, strokes };
  });
  const texts = [...svg.querySelectorAll('text')].map((text) => {
    const parent = text.parentElement;
    const staffY = numbersOf(text.closest('.sn-staff')?.getAttribute('transform') ?? null)[1] ?? 0;
    const size = Number(parent?.getAttribute('font-size'));
    const words = text.textContent;
    const bold = parent?.getAttribute('font-weight') === 'bold' ? 'bold' : 'regular';
    const held = text.getAttribute('textLength');
    const wide = held === null ? wordWidthPx(words, size, bold) : Number(held);
    const anchor = text.getAttribute('text-anchor') ?? parent?.getAttribute('text-anchor');
    const x = Number(text.getAttribute('x'));
    const left = anchor === 'end' ? x - wide : anchor === 'middle' ? x - wide / 2 : x;
    const y = Number(text.getAttribute('y')) + staffY;
    const kind = (parent?.getAttribute('class') ?? '').replace('sn-word sn-', '');
    return { kind, text: words, box: { what: words, left, right: left + wide, top: y - size * 0.7, bottom: y } };
  });
  return { width, height, staves, texts, svg };
}

/** Boxes of glyphs in the system's coordinates. */
export function glyphBoxes(system: DrawnSystem): Box[] {
  return system.staves.flatMap((staff) =>
    staff.glyphs.map(({ code, x, y, scale }) => {
      const record = glyphOf(String.fromCodePoint(Number.parseInt(code, 16)))!.record;
      return {
        what: code,
        left: x + record.left * scale,
        right: x + record.right * scale,
        top: staff.y + y + record.top * scale,
        bottom: staff.y + y + record.bottom * scale,
      };
    }),
  );
}

/** Pairs of boxes that lie on one another by more than rounding. */
export function overlaps(boxes: readonly Box[], others: readonly Box[] = boxes): string[] {
  const found: string[] = [];
  boxes.forEach((a, index) => {
    others.forEach((b, otherIndex) => {
      if (a === b || (boxes === others && otherIndex <= index)) return;
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (wide > 0.6 && high > 0.6) found.push(`${a.what} on ${b.what}`);
    });
  });
  return found;
}

/** Heads of notes (whole, half, black) of a staff, left to right. */
export function noteHeads(staff: DrawnStaff): DrawnGlyph[] {
  return staff.glyphs.filter(({ code }) => ['E0A2', 'E0A3', 'E0A4'].includes(code)).sort((a, b) => a.x - b.x);
}

/** Vertical strokes of a staff as [x, y from, y to]. */
export function verticals(staff: DrawnStaff): [number, number, number][] {
  return [...staff.strokes.values()].flatMap((path) =>
    [...path.matchAll(/M(-?[\d.]+) ?(-?[\d.]+)V(-?[\d.]+)/g)].map((match): [number, number, number] => [
      Number(match[1]),
      Number(match[2]),
      Number(match[3]),
    ]),
  );
}

/** Horizontal strokes of a staff as [y, x from, x to]. */
export function horizontals(staff: DrawnStaff): [number, number, number][] {
  return [...staff.strokes.values()].flatMap((path) =>
    [...path.matchAll(/M(-?[\d.]+) ?(-?[\d.]+)H(-?[\d.]+)/g)].map((match): [number, number, number] => [
      Number(match[2]),
      Number(match[1]),
      Number(match[3]),
    ]),
  );
}
