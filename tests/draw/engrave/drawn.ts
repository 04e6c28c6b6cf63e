/** Reads an engraved system back from its markup, so that tests judge what a page would show. */
import { JSDOM } from 'jsdom';
import { glyphOf, wordWidthPx } from '../../../src/draw/engrave/ink/glyph-table.ts';

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
      const code = /^m(\w+)$/.exec(line.getAttribute('class') ?? '')?.[1] ?? '';
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
    // A word alone has its style itself, several have it together.
    const parent = text.hasAttribute('class') ? text : text.parentElement;
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

const SIGN_KINDS: readonly (readonly [RegExp, string])[] = [
  [/^E0[A-B]/, 'head'],
  [/^E26/, 'accidental'],
  [/^E1E7$/, 'dot'],
  [/^E4E/, 'rest'],
  [/^E24/, 'flag'],
  [/^E22/, 'tremolo'],
  [/^E05|^E06/, 'clef'],
  [/^E08/, 'meter'],
  [/^E88/, 'tuplet figure'],
  [/^E52|^E53/, 'dynamic'],
  [/^E51/, 'ottava'],
  [/^E56/, 'trill'],
];

function kindOf(code: string): string {
  return SIGN_KINDS.find(([pattern]) => pattern.test(code))?.[1] ?? 'other';
}

/** How much higher than a staff space a black head of this face is, and rounding. */
const HEAD_EXCESS_PX = glyphOf('\uE0A4')!.record.bottom - glyphOf('\uE0A4')!.record.top - 10 + 0.2;

/** Pairs of signs that may touch: a flag and what is under it hang together by design. */
const MAY_TOUCH = new Set(['flag/head', 'flag/tremolo', 'head/tremolo', 'rest/tremolo', 'meter/meter']);

/** Beams of a system as slanted bars: [left x, y, right x, y, thickness]. */
function beamsOf(system: DrawnSystem): [number, number, number, number, number][] {
  const number = '(-?[\\d.]+)';
  const shape = new RegExp(`M${number} ?${number}l${number} ?${number}v(-?5)l`, 'g');
  return [...system.svg.querySelectorAll('.sn-staff')].flatMap((group, index) => {
    const paths = [...group.children].filter(
      (child) => child.localName === 'path' && !child.hasAttribute('stroke-width'),
    );
    const top = system.staves[index]?.y ?? 0;
    return paths.flatMap((path) =>
      [...(path.getAttribute('d') ?? '').matchAll(shape)].map(
        ([, x, y, dx, dy, thick]): [number, number, number, number, number] => [
          Number(x),
          top + Number(y),
          Number(x) + Number(dx),
          top + Number(y) + Number(dy),
          Number(thick),
        ],
      ),
    );
  });
}

/**
 * What lies on what in a system and must not: signs on signs, stems through heads, accidentals and rests, beams through heads
 * and rests, words on anything. Ties, ledger lines and the staff are left out; 0.9 px of touching is none.
 */
export function inkClashes(system: DrawnSystem): string[] {
  const found: string[] = [];
  const signs = glyphBoxes(system).filter(({ what }) => !/^EC[AB]|^E00|^E88/.test(what));
  const inChords = system.texts.filter(({ kind }) => kind === 'chord').map(({ box }) => box);
  const free = signs.filter(
    (sign) =>
      !(
        /^E26/.test(sign.what) &&
        inChords.some(
          (box) =>
            Math.abs(box.bottom - sign.bottom) < 16 &&
            sign.left > box.left - 20 &&
            sign.right < box.right + 40 &&
            sign.bottom < box.bottom + 4,
        )
      ),
  );
  const touches = (a: Box, b: Box): boolean =>
    Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0.9 &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.9;
  const sorted = [...free].sort((a, b) => a.left - b.left);
  sorted.forEach((a, index) => {
    for (let next = index + 1; next < sorted.length; next++) {
      const b = sorted[next]!;
      if (b.left > a.right) break;
      const pair = [kindOf(a.what), kindOf(b.what)].sort().join('/');
      if (MAY_TOUCH.has(pair) || !touches(a, b)) continue;
      // Heads are a little higher than a space: those a third apart overlap by so much, but they are round and do not touch.
      if (pair === 'head/head' && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) < HEAD_EXCESS_PX) continue;
      // Heads a second apart share the thickness of their stem; heads and flats are round.
      if (/head/.test(pair) && Math.min(a.right, b.right) - Math.max(a.left, b.left) < 1.5) continue;
      found.push(`${pair} at ${a.left.toFixed(0)}, ${a.top.toFixed(0)}`);
    }
  });
  const heads = free.filter(({ what }) => kindOf(what) === 'head' && what !== 'E0A2');
  const solid = free.filter(({ what }) => ['accidental', 'rest', 'dot'].includes(kindOf(what)));
  system.staves.forEach((staff) => {
    for (const [x, from, to] of verticals(staff)) {
      const [top, bottom] = [Math.min(from, to) + staff.y, Math.max(from, to) + staff.y];
      if (bottom - top < 12) continue;
      for (const box of heads) {
        if (x > box.left + 1.6 && x < box.right - 1.6 && bottom > box.top + 1 && top < box.bottom - 1)
          found.push(`stem through head at ${x.toFixed(0)}, ${box.top.toFixed(0)}`);
      }
      for (const box of solid) {
        if (x > box.left + 1 && x < box.right - 1 && bottom > box.top + 1 && top < box.bottom - 1)
          found.push(`stem through ${kindOf(box.what)} at ${x.toFixed(0)}, ${box.top.toFixed(0)}`);
      }
    }
  });
  for (const [x1, y1, x2, y2, thick] of beamsOf(system)) {
    for (const box of [...heads, ...solid]) {
      const middle = (box.left + box.right) / 2;
      if (middle <= x1 || middle >= x2) continue;
      const y = y1 + ((middle - x1) / Math.max(1, x2 - x1)) * (y2 - y1);
      const [top, bottom] = [Math.min(y, y + thick), Math.max(y, y + thick)];
      if (bottom > box.top + 1.5 && top < box.bottom - 1.5)
        found.push(`beam through ${kindOf(box.what)} at ${middle.toFixed(0)}, ${box.top.toFixed(0)}`);
    }
  }
  const words = system.texts.map(({ box }) => box);
  found.push(...overlaps(words), ...overlaps(words, free));
  return found;
}
