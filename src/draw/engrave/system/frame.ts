/** What ties the staves of a system together: brace, bar lines, names at the left. */
import { escapeXml, round } from '../../svg.ts';
import { requiredGlyph } from '../ink/glyph-table.ts';
import { tenths } from '../ink/tenths.ts';
import type { StaffInfo } from '../../../model/music/written.ts';
import type { LetterBox } from '../ink/sheet.ts';
import { HELD_FROM, point } from '../ink/sheet.ts';
import type { LetterSize } from '../ink/words.ts';
import { lettered, plainWords, WORD_STYLES } from '../ink/words.ts';

const STAFF_HEIGHT_PX = 40;
const LABEL_GAP_PX = 8;
const BRACE_PX = 13;
/** Of names at 15 px, and of a line of them to the next. */
const MOST_LABEL_PX = 150;
const LABEL_ROW_PX = 17;

/** Neighbouring staves under one brace: indices of the first and last one. */
export interface StaffGroup {
  readonly from: number;
  readonly to: number;
}

function neighbours(staves: readonly StaffInfo[], nameOf: (staff: StaffInfo) => string): readonly StaffGroup[] {
  const groups: { from: number; to: number; name: string }[] = [];
  staves.forEach((staff, index) => {
    const name = nameOf(staff);
    const last = groups.at(-1);
    if (last !== undefined && name !== '' && last.name === name) last.to = index;
    else groups.push({ from: index, to: index, name });
  });
  return groups;
}

/** Staves of one instrument, under a brace where they are more than one. */
export function staffGroups(staves: readonly StaffInfo[]): readonly StaffGroup[] {
  return neighbours(staves, (staff) => staff.brace);
}

/** Families under a bracket, a brace group by itself where it has none: bar lines run through each (Gould, from memory). */
function familyGroups(staves: readonly StaffInfo[]): readonly StaffGroup[] {
  return neighbours(staves, ({ bracket = '', brace }) => (bracket === '' ? brace : `[${bracket}`));
}

/** Groups that have a bracket: families of more than one staff (Gould, from memory). */
function bracketGroups(staves: readonly StaffInfo[]): readonly StaffGroup[] {
  return familyGroups(staves).filter(({ from, to }) => to > from && (staves[from]?.bracket ?? '') !== '');
}

/** What the ends of brackets need above and below a system. */
export function bracketEndPx(staves: readonly StaffInfo[]): number {
  return bracketGroups(staves).length > 0 ? 15 : 0;
}

interface Label {
  readonly lines: readonly string[];
  readonly widthPx: number;
  readonly from: number;
  readonly to: number;
  readonly size: LetterSize | undefined;
}

function widthOf(text: string, size: LetterSize | undefined): number {
  return plainWords(text, lettered('label', size)).widthPx;
}

function mostPxOf(size: LetterSize | undefined): number {
  return (MOST_LABEL_PX * WORD_STYLES[lettered('label', size)].sizePx) / WORD_STYLES.label.sizePx;
}

function fitted(text: string, size: LetterSize | undefined): string {
  const run = plainWords(text, lettered('label', size), mostPxOf(size)).runs[0];
  return run?.kind === 'text' ? run.text : '';
}

/** A name too long for one line is broken at the blank nearest to its middle; what still does not fit is cut. */
function labelLines(text: string, size: LetterSize | undefined): readonly string[] {
  const whole = plainWords(text, lettered('label', size));
  const run = whole.runs[0];
  if (run?.kind !== 'text') return [];
  if (whole.widthPx <= mostPxOf(size) * 0.75) return [run.text];
  const middle = run.text.length / 2;
  let best = -1;
  for (let index = run.text.indexOf(' '); index >= 0; index = run.text.indexOf(' ', index + 1)) {
    if (best < 0 || Math.abs(index - middle) < Math.abs(best - middle)) best = index;
  }
  if (best < 0) return [fitted(run.text, size)];
  return [fitted(run.text.slice(0, best), size), fitted(run.text.slice(best + 1), size)];
}

/** Names left of the staves, or their short forms; one name for a brace whose staves all bear the same. */
export function labelsOf(
  staves: readonly StaffInfo[],
  groups: readonly StaffGroup[],
  full: boolean,
  size: LetterSize | undefined,
): readonly Label[] {
  const labels: Label[] = [];
  const textOf = (index: number): string => (full ? staves[index]?.label : staves[index]?.abbreviation) ?? '';
  const add = (text: string, from: number, to: number): void => {
    const lines = labelLines(text, size);
    const widths = lines.map((line) => widthOf(line, size));
    if (lines.length > 0) labels.push({ lines, widthPx: Math.max(...widths), from, to, size });
  };
  for (const { from, to } of groups) {
    const texts = staves.slice(from, to + 1).map((_, index) => textOf(from + index));
    if (texts.every((text) => text === texts[0])) add(texts[0] ?? '', from, to);
    else
      texts.forEach((text, index) => {
        add(text, from + index, from + index);
      });
  }
  return labels;
}

/** Room of braces and brackets left of the staves. */
function jointPx(staves: readonly StaffInfo[]): number {
  const braced = staffGroups(staves).filter((group) => group.to > group.from);
  const brackets = bracketGroups(staves);
  const inside = braced.some(({ from }) => (staves[from]?.bracket ?? '') !== '');
  return (
    (braced.length > 0 ? BRACE_PX : 0) + (brackets.length === 0 ? 0 : braced.length === 0 || inside ? BRACKET_PX : 0)
  );
}

/** Room left of the staves. */
export function marginFor(labels: readonly Label[], staves: readonly StaffInfo[]): number {
  const labelPx = Math.max(0, ...labels.map((label) => label.widthPx + LABEL_GAP_PX));
  return Math.ceil(labelPx + jointPx(staves)) + 1;
}

export function labelMarkup(
  labels: readonly Label[],
  staves: readonly StaffInfo[],
  staffYs: readonly number[],
  margin: number,
): string {
  const right = margin - 1 - jointPx(staves) - LABEL_GAP_PX;
  const style = WORD_STYLES[lettered('label', labels[0]?.size)];
  const scale = style.sizePx / WORD_STYLES.label.sizePx;
  const texts = labels.flatMap((label) => {
    const middle = ((staffYs[label.from] ?? 0) + (staffYs[label.to] ?? 0) + STAFF_HEIGHT_PX) / 2;
    return label.lines.map((line, index) => {
      const y = middle + (5 + (index - (label.lines.length - 1) / 2) * LABEL_ROW_PX) * scale;
      const held =
        line.length > HELD_FROM
          ? ` textLength="${tenths(widthOf(line, label.size))}" lengthAdjust="spacingAndGlyphs"`
          : '';
      return `<text x="${tenths(right)}" y="${tenths(y)}"${held}>${escapeXml(line)}</text>`;
    });
  });
  return texts.length === 0 ? '' : `<g ${style.attributes} text-anchor="end">${texts.join('')}</g>`;
}

const BRACE = '\uE000';

/** The brace of the glyph table is one staff high; it is stretched, and a little widened, to the height of its staves. */
function braceMarkup(right: number, top: number, bottom: number, glyphs: Set<string>): string {
  const { id, record } = requiredGlyph(BRACE);
  glyphs.add(id);
  const tall = (bottom - top) / (record.bottom - record.top);
  const wide = 9 / (record.right - record.left);
  const x = right - record.right * wide;
  return `<use href="#${id}" transform="translate(${point(x, bottom)}) scale(${round(wide, 3)} ${round(tall, 3)})"/>`;
}

const BRACKET_TOP = '\uE003';
const BRACKET_BOTTOM = '\uE004';
const BRACKET_LINE_PX = 4.5;
const BRACKET_GAP_PX = 3.5;
const BRACKET_PX = BRACKET_LINE_PX + BRACKET_GAP_PX + 2;

function bracketMarkup(left: number, top: number, bottom: number, glyphs: Set<string>): string {
  const x = left - BRACKET_GAP_PX - BRACKET_LINE_PX;
  const from = top - 2.5;
  const to = bottom + 2.5;
  const tips = [
    { glyph: BRACKET_TOP, y: from },
    { glyph: BRACKET_BOTTOM, y: to },
  ].map(({ glyph, y }) => {
    const { id } = requiredGlyph(glyph);
    glyphs.add(id);
    return `<use href="#${id}" x="${tenths(x)}" y="${tenths(y)}"/>`;
  });
  return `<path d="M${point(x, from)}h${tenths(BRACKET_LINE_PX)}V${tenths(to)}H${tenths(x)}z"/>${tips.join('')}`;
}

export type BarLine = 'single' | 'double' | 'final';

/** Boxes between the staves, in the coordinates of the system. */
export type Gap = LetterBox;

const GAP_PX = 2;
const SHORTEST_PIECE_PX = 3;

/** A bar line from `top` to `bottom` without what lies on letters (custom; a bar line is never drawn through a word). */
function piecesOf(
  x: number,
  top: number,
  bottom: number,
  gaps: readonly Gap[],
): readonly (readonly [number, number])[] {
  const cuts = gaps
    .filter((gap) => gap.left - GAP_PX < x && x - 5 < gap.right + GAP_PX && gap.bottom > top && gap.top < bottom)
    .sort((a, b) => a.top - b.top);
  const pieces: (readonly [number, number])[] = [];
  let from = top;
  for (const cut of cuts) {
    if (cut.top - GAP_PX - from >= SHORTEST_PIECE_PX) pieces.push([from, cut.top - GAP_PX]);
    from = Math.max(from, cut.bottom + GAP_PX);
  }
  if (bottom - from >= SHORTEST_PIECE_PX) pieces.push([from, bottom]);
  return pieces;
}

/** Bar lines run through a family or the staves of a brace and are broken between; a line at the left joins all staves. */
export function frameMarkup(
  staves: readonly StaffInfo[],
  staffYs: readonly number[],
  left: number,
  barLines: readonly { readonly x: number; readonly kind: BarLine }[],
  glyphs: Set<string>,
  gaps: readonly Gap[] = [],
): string {
  const box = (x: number, top: number, bottom: number, width: number): string =>
    `M${point(x, top)}h${tenths(width)}V${tenths(bottom)}H${tenths(x)}z`;
  const topOf = (index: number): number => (staffYs[index] ?? 0) - 0.5;
  const bottomOf = (index: number): number => (staffYs[index] ?? 0) + STAFF_HEIGHT_PX + 0.5;
  const first = staffYs[0] ?? 0;
  const last = (staffYs.at(-1) ?? 0) + STAFF_HEIGHT_PX;
  let path = staffYs.length > 1 ? box(left - 0.5, first - 0.5, last + 0.5, 1.2) : '';
  for (const group of familyGroups(staves)) {
    for (const { x, kind } of barLines) {
      for (const [top, bottom] of piecesOf(x, topOf(group.from), bottomOf(group.to), gaps)) {
        if (kind === 'single') path += box(x - 0.6, top, bottom, 1.2);
        else if (kind === 'double') path += box(x - 4.2, top, bottom, 1.2) + box(x - 0.6, top, bottom, 1.2);
        else path += box(x - 8.5, top, bottom, 1.2) + box(x - 4.5, top, bottom, 4.5);
      }
    }
  }
  const braces = staffGroups(staves)
    .filter((group) => group.to > group.from)
    .map(({ from, to }) => {
      const inside = (staves[from]?.bracket ?? '') !== '';
      return braceMarkup(left - 2.5 - (inside ? BRACKET_PX : 0), topOf(from), bottomOf(to), glyphs);
    });
  const brackets =
    staffYs.length > 1
      ? bracketGroups(staves).map(({ from, to }) => bracketMarkup(left, topOf(from), bottomOf(to), glyphs))
      : [];
  return `<path class="sn-frame" d="${path}"/>${braces.join('')}${brackets.join('')}`;
}
