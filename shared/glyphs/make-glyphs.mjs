// @ts-check
/**
 * Writes glyphs.json: metrics and outlines of the music signs that a score can hold, and the advance widths of
 * letters for estimating how wide words are. Run it with `node shared/glyphs/make-glyphs.mjs` after the fonts change.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import opentype from 'opentype.js';

const require = createRequire(import.meta.url);

/** VexFlow's table of SMuFL names; the package does not export it by itself. @type {{ Glyphs: Record<string, string> }} */
const { Glyphs } = await import(new URL('../src/glyphs.js', import.meta.resolve('vexflow/core')).href);

/** Outlines are kept at the size at which they are drawn most: an em of 40 px, a staff space of 10 px. */
const EM_PX = 40;
const SPACE_PX = EM_PX / 4;

/** Music signs by their SMuFL names; VexFlow's table knows their code points. */
const NAMES = [
  ['brace', 'bracketTop', 'bracketBottom'],
  ['gClef', 'gClef8vb', 'cClef', 'fClef', 'fClef8vb', 'unpitchedPercussionClef1'],
  digitsOf('timeSig'),
  ['noteheadWhole', 'noteheadHalf', 'noteheadBlack', 'noteheadXWhole', 'noteheadXHalf', 'noteheadXBlack'],
  ['noteheadCircleX', 'noteheadTriangleUpBlack', 'augmentationDot', 'tremolo3'],
  ['articStaccatoAbove', 'articStaccatoBelow'],
  ['8th', '16th', '32nd', '64th'].flatMap((value) => [`flag${value}Up`, `flag${value}Down`]),
  ['Flat', 'Natural', 'Sharp', 'DoubleSharp', 'DoubleFlat'].map((sign) => `accidental${sign}`),
  ['DoubleWhole', 'Whole', 'Half', 'Quarter', '8th', '16th', '32nd', '64th'].map((value) => `rest${value}`),
  ['ottavaAlta', 'ottavaBassaVb', 'ornamentTrill', 'wiggleTrill', 'wiggleArpeggiatoUp'],
  ['Piano', 'Forte', 'PP', 'MP', 'MF', 'FF'].map((mark) => `dynamic${mark}`),
  [...digitsOf('tuplet'), 'tupletColon'],
  ['Whole', 'HalfUp', 'QuarterUp', '8thUp', '16thUp'].map((value) => `metNote${value}`),
  ['metAugmentationDot'],
].flat();

/** @param {string} prefix */
function digitsOf(prefix) {
  return Array.from({ length: 10 }, (_, digit) => `${prefix}${digit}`);
}

/** @param {string} path */
function fontOf(path) {
  const bytes = readFileSync(path);
  return opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
}

/** @param {number} number */
const rounded = (number) => Math.round(number * 100) / 100;

/** @param {{ type: string, x?: number, y?: number, x1?: number, y1?: number, x2?: number, y2?: number }[]} commands */
function outline(commands) {
  const pair = (x = 0, y = 0) => `${rounded(x)} ${rounded(y)}`;
  return commands
    .map((step) => {
      if (step.type === 'M') return `M${pair(step.x, step.y)}`;
      if (step.type === 'L') return `L${pair(step.x, step.y)}`;
      if (step.type === 'Q') return `Q${pair(step.x1, step.y1)} ${pair(step.x, step.y)}`;
      if (step.type === 'C') return `C${pair(step.x1, step.y1)} ${pair(step.x2, step.y2)} ${pair(step.x, step.y)}`;
      return 'Z';
    })
    .join('')
    .replaceAll(' -', '-');
}

const music = fontOf(require.resolve('@vexflow-fonts/sebastian/sebastian.otf'));
/** @type {Record<string, { advance: number, left: number, top: number, right: number, bottom: number, outline: string }>} */
const glyphs = {};
for (const name of NAMES) {
  const sign = Glyphs[name];
  const code = sign?.codePointAt(0);
  if (sign === undefined || code === undefined) throw new Error(`no sign is named ${name}`);
  const index = music.charToGlyphIndex(sign);
  if (index === 0) throw new Error(`the font lacks ${name}`);
  const glyph = music.glyphs.get(index);
  const path = glyph.getPath(0, 0, EM_PX);
  const box = path.getBoundingBox();
  glyphs[code.toString(16).toUpperCase()] = {
    advance: rounded(((glyph.advanceWidth ?? 0) * EM_PX) / music.unitsPerEm),
    left: rounded(box.x1),
    top: rounded(box.y1),
    right: rounded(box.x2),
    bottom: rounded(box.y2),
    outline: outline(path.commands),
  };
}

/** Widths of strokes that the face was drawn for, and where a stem meets a head, in pixels. */
const { engravingDefaults, glyphsWithAnchors } = JSON.parse(
  readFileSync(require.resolve('@vexflow-fonts/sebastian/metadata.json'), 'utf8'),
);
const WIDTHS = ['stem', 'legerLine', 'beam', 'tupletBracket', 'hairpin'];
const strokesPx = Object.fromEntries(
  WIDTHS.map((name) => [name, rounded(engravingDefaults[`${name}Thickness`] * SPACE_PX)]),
);
const stemJointPx = rounded(glyphsWithAnchors.noteheadBlack.stemUpSE[1] * SPACE_PX);

/** Advance widths in thousandths of the size, of the letters that European names are written in. */
function advances(/** @type {string} */ path) {
  const font = fontOf(path);
  /** @type {Record<string, number>} */
  const widths = {};
  for (let code = 0x20; code <= 0x17f; code++) {
    if (code >= 0x7f && code < 0xa0) continue;
    const letter = String.fromCodePoint(code);
    const index = font.charToGlyphIndex(letter);
    if (index === 0) continue;
    widths[letter] = Math.round(((font.glyphs.get(index).advanceWidth ?? 0) * 1000) / font.unitsPerEm);
  }
  return widths;
}

const table = {
  about:
    'Generated by make-glyphs.mjs. Outlines and metrics of music signs, taken unchanged but for scale and number format from the ' +
    'font whose licence stands beside this file (OFL.txt); advance widths of letters from its companion text font. ' +
    'This table is a derivative of those fonts, is under the same licence, and is not a font of that name.',
  emPx: EM_PX,
  strokesPx,
  stemJointPx,
  glyphs,
  letters: {
    regular: advances(require.resolve('@vexflow-fonts/academico/academico.otf')),
    bold: advances(require.resolve('@vexflow-fonts/academico/academico-bold.otf')),
  },
};

writeFileSync(fileURLToPath(new URL('glyphs.json', import.meta.url)), `${JSON.stringify(table, null, 2)}\n`);
