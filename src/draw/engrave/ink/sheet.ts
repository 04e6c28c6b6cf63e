/** One staff's drawing while it grows: strokes merged by thickness, fills merged, glyph references, words, and the ink of all. */
import type { NoteHead } from '../../../model/music/written.ts';
import { escapeXml, round } from '../../svg.ts';
import { tenths } from './tenths.ts';
import { GLYPH_EM_PX, markerIdOf, requiredGlyph } from './glyph-table.ts';
import type { Ink } from './ink.ts';
import { addBox, addLine, blankInk } from './ink.ts';
import type { WordStyle, Words } from './words.ts';
import { WORD_STYLES } from './words.ts';

export interface LetterBox {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface Sheet {
  readonly strokes: Map<number, string[]>;
  readonly fills: string[];
  /** Places of signs at full size, by sign: x and y in turn. */
  readonly signs: Map<string, number[]>;
  /** Signs at other sizes, as markup. */
  readonly uses: string[];
  readonly words: Map<WordStyle, string[]>;
  readonly ink: Ink;
  /** Where words and letters stand, in the coordinates of the sheet: bar lines between staves give way to them. */
  readonly letters: LetterBox[];
  /** Shared by the sheets of a score: ids of the glyphs used. */
  readonly glyphs: Set<string>;
  /** Heads that are marked where they are drawn; the marks, as markup. */
  readonly marked: ReadonlySet<NoteHead>;
  readonly marks: string[];
}

const NO_HEADS: ReadonlySet<NoteHead> = new Set();

export function blankSheet(widthPx: number, glyphs: Set<string>, marked = NO_HEADS): Sheet {
  return {
    strokes: new Map(),
    fills: [],
    signs: new Map(),
    uses: [],
    words: new Map(),
    ink: blankInk(widthPx),
    letters: [],
    glyphs,
    marked,
    marks: [],
  };
}

/** `x y` with the space left out where a minus sign separates. */
export function point(x: number, y: number): string {
  const right = tenths(y);
  return tenths(x) + (right.startsWith('-') ? right : ` ${right}`);
}

function pathsOf(sheet: Sheet, thickness: number): string[] {
  let paths = sheet.strokes.get(thickness);
  if (paths === undefined) {
    paths = [];
    sheet.strokes.set(thickness, paths);
  }
  return paths;
}

export function strokeLine(sheet: Sheet, x1: number, y1: number, x2: number, y2: number, thickness: number): void {
  const path =
    y1 === y2
      ? `M${point(x1, y1)}H${tenths(x2)}`
      : x1 === x2
        ? `M${point(x1, y1)}V${tenths(y2)}`
        : `M${point(x1, y1)}L${point(x2, y2)}`;
  pathsOf(sheet, thickness).push(path);
  addLine(sheet.ink, x1, y1, x2, y2);
}

/** A stroke that leaves no ink: for lines that every strip has anyway, such as those of the staff. */
export function strokeQuietly(sheet: Sheet, path: string, thickness: number): void {
  pathsOf(sheet, thickness).push(path);
}

/** A filled shape from a path; the corners tell its ink. */
export function fillShape(sheet: Sheet, path: string, corners: readonly (readonly [number, number])[]): void {
  sheet.fills.push(path);
  let before = corners.at(-1);
  for (const corner of corners) {
    if (before !== undefined) addLine(sheet.ink, before[0], before[1], corner[0], corner[1]);
    before = corner;
  }
}

export function fillBox(sheet: Sheet, x: number, y: number, width: number, height: number): void {
  sheet.fills.push(`M${point(x, y)}h${tenths(width)}v${tenths(height)}H${tenths(x)}z`);
  addBox(sheet.ink, x, x + width, y, y + height);
}

/** Draws a music sign at its base line and returns its advance in pixels. */
export function drawGlyph(sheet: Sheet, character: string, x: number, y: number, scale = 1): number {
  const { id, record } = requiredGlyph(character);
  if (scale === 1) {
    const places = sheet.signs.get(id);
    if (places === undefined) sheet.signs.set(id, [x, y]);
    else places.push(x, y);
  } else {
    sheet.glyphs.add(id);
    sheet.uses.push(`<use href="#${id}" transform="translate(${point(x, y)}) scale(${round(scale, 3)})"/>`);
  }
  addBox(
    sheet.ink,
    x + record.left * scale,
    x + record.right * scale,
    y + record.top * scale,
    y + record.bottom * scale,
  );
  return record.advance * scale;
}

/** Ink of letters. */
export function addLetters(sheet: Sheet, box: LetterBox): void {
  addBox(sheet.ink, box.left, box.right, box.top, box.bottom);
  sheet.letters.push(box);
}

/**
 * Words longer than this are held to their estimated width, which is a tenth more than that of a narrow face: letters look stretched. In
 * shorter ones the face's own width is within the room left.
 */
export const HELD_FROM = 24;

/** Draws words and music signs from left to right; `x` is the left edge. */
export function drawWords(sheet: Sheet, words: Words, x: number, y: number): void {
  const style = WORD_STYLES[words.style];
  let texts = sheet.words.get(words.style);
  if (texts === undefined) {
    texts = [];
    sheet.words.set(words.style, texts);
  }
  let left = x;
  words.runs.forEach((run, index) => {
    if (run.kind === 'glyph') {
      drawGlyph(sheet, run.character, left + run.leadPx, y - run.raisePx, run.sizePx / GLYPH_EM_PX);
    } else if (run.text !== '') {
      // Long words are held to the width that was reckoned with, whatever face the page has.
      const between = words.runs[index - 1]?.kind === 'glyph' && words.runs[index + 1]?.kind === 'glyph';
      const held =
        run.text.length > HELD_FROM || (between && run.text.length > 1)
          ? ` textLength="${tenths(run.inkWidthPx)}" lengthAdjust="spacingAndGlyphs"`
          : '';
      // A letter before a sign is set from its right, so that no gap opens where the page's face is narrower.
      const endsAtSign = held === '' && words.runs[index + 1]?.kind === 'glyph';
      const centred = words.style.startsWith('section') && held === '';
      const anchor = endsAtSign ? ' text-anchor="end"' : centred ? ' text-anchor="middle"' : '';
      const textX = left + (endsAtSign ? run.inkWidthPx : centred ? run.inkWidthPx / 2 : 0);
      texts.push(`<text x="${tenths(textX)}" y="${tenths(y)}"${held}${anchor}>${escapeXml(run.text)}</text>`);
    }
    left += run.widthPx;
  });
  addLetters(sheet, { left: x, right: left, top: y - style.sizePx * 0.75, bottom: y + style.sizePx * 0.22 });
}

/** From so many of one sign on a line of markers is shorter, and lighter for a browser, than a reference for each. */
const FEWEST_MARKED = 2;

/**
 * All places of one sign. Many of them are the corners of a line without stroke, each with the sign as its marker (SVG 1.1,
 * 11.6), by the rule for its class (`markerStyle`): a tenth of the elements, which a browser feels in a long score.
 */
function signsMarkup(id: string, places: readonly number[], glyphs: Set<string>): string {
  const texts: string[] = [];
  const many = places.length >= 2 * FEWEST_MARKED;
  for (let index = 0; index < places.length; index += 2) {
    const [x, y] = [tenths(places[index] ?? 0), tenths(places[index + 1] ?? 0)];
    texts.push(many ? `${x} ${y}` : `<use href="#${id}" x="${x}" y="${y}"/>`);
  }
  if (!many) {
    glyphs.add(id);
    return texts.join('');
  }
  const marker = markerIdOf(id);
  glyphs.add(marker);
  return `<polyline class="${marker}" points="${texts.join(' ')}"/>`;
}

/** Words of one style: one text has the style itself, several stand in a group that has it. */
function wordsMarkup(attributes: string, texts: readonly string[]): string {
  const [first = ''] = texts;
  return texts.length === 1
    ? first.replace('<text ', () => `<text ${attributes} `)
    : `<g ${attributes}>${texts.join('')}</g>`;
}

/** The sheet as markup, `y` px down in its system. That a path with a width is a stroke is a rule of the style sheet. */
export function sheetMarkup(sheet: Sheet, y: number): string {
  const strokes = [...sheet.strokes.entries()]
    .map(([thickness, paths]) => `<path stroke-width="${round(thickness, 2)}" d="${paths.join('')}"/>`)
    .join('');
  const fills = sheet.fills.length === 0 ? '' : `<path d="${sheet.fills.join('')}"/>`;
  const signs = [...sheet.signs.entries()].map(([id, places]) => signsMarkup(id, places, sheet.glyphs)).join('');
  const words = [...sheet.words.entries()]
    .filter(([, texts]) => texts.length > 0)
    .map(([name, texts]) => wordsMarkup(WORD_STYLES[name].attributes, texts))
    .join('');
  const marks =
    sheet.marks.length === 0 ? '' : `<g class="sn-marks" fill="currentColor" stroke="none">${sheet.marks.join('')}</g>`;
  return `<g class="sn-staff" transform="translate(0 ${tenths(y)})">${strokes}${fills}${signs}${sheet.uses.join('')}${words}${marks}</g>`;
}
