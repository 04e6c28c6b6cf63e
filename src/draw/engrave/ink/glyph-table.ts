/** Metrics and outlines of music signs (SMuFL code points) and advance widths of letters, from `shared/glyphs`. */
import table from '../../../../shared/glyphs/glyphs.json' with { type: 'json' };

/** In pixels at an em of 40 px (a staff space of 10 px); y grows downwards from the base line. */
export interface GlyphRecord {
  readonly advance: number;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly outline: string;
}

const records = table.glyphs as Readonly<Record<string, GlyphRecord>>;
const byCharacter = new Map<string, { readonly id: string; readonly record: GlyphRecord }>();
for (const [code, record] of Object.entries(records)) {
  byCharacter.set(String.fromCodePoint(Number.parseInt(code, 16)), { id: `g${code}`, record });
}

/** The em at which the table is scaled, in pixels. */
export const GLYPH_EM_PX = table.emPx;

/** Widths of strokes that the face was drawn for, in pixels (`engravingDefaults` of its SMuFL metadata). */
export const STROKES_PX = table.strokesPx;

/** Where a stem meets its head, from the middle of the head, in pixels: `stemUpSE` of the face's SMuFL metadata. */
export const STEM_JOINT_PX = table.stemJointPx;

/** Id and metrics of a music sign, or undefined where the table does not hold it. */
export function glyphOf(character: string): { readonly id: string; readonly record: GlyphRecord } | undefined {
  return byCharacter.get(character);
}

/** Metrics of a sign that must be there. Throws where it is not: a fault of the table. */
export function requiredGlyph(character: string): { readonly id: string; readonly record: GlyphRecord } {
  const found = byCharacter.get(character);
  if (found === undefined) {
    throw new Error(`The glyph table lacks U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase()}.`);
  }
  return found;
}

/** Id of the marker that draws a sign at the corners of a line. */
export function markerIdOf(glyphId: string): string {
  return `m${glyphId.slice(1)}`;
}

/**
 * One hidden `<svg>` with the outlines of these glyphs and markers, to stand once in a page before the systems that use
 * them; unknown ids are left out. '' where there are none. It is not `display:none`, in which references may fail to draw.
 */
export function glyphDefs(ids: Iterable<string>): string {
  const wanted = [...new Set(ids)].sort();
  const paths = wanted.flatMap((id) => {
    const record = records[id.slice(1)];
    if (record === undefined) return [];
    return id.startsWith('m')
      ? [`<marker id="${id}" markerUnits="userSpaceOnUse" overflow="visible"><path d="${record.outline}"/></marker>`]
      : [`<path id="${id}" d="${record.outline}"/>`];
  });
  if (paths.length === 0) return '';
  return `<svg class="sn-glyphs" width="0" height="0" fill="currentColor" aria-hidden="true" focusable="false"><defs>${paths.join('')}</defs></svg>`;
}

/** Style rules by which a line without stroke has a sign at each corner, one for each of these ids that is a marker's. */
export function markerStyle(ids: Iterable<string>): string {
  const markers = [...new Set(ids)].filter((id) => id.startsWith('m')).sort();
  return markers.map((id) => `.${id} { marker: url(#${id}); }`).join('\n');
}

const regular = table.letters.regular as Readonly<Record<string, number>>;
const bold = table.letters.bold as Readonly<Record<string, number>>;

/** Serifs of pages run from narrow (Times) to wide (Georgia); the table's face is narrow. */
const FACE_ALLOWANCE = 1.1;

/** East Asian and other full-width letters, roughly. */
const WIDE = /[\u1100-\u115F\u2E80-\uA4CF\uAC00-\uD7A3\uF900-\uFAFF\uFE30-\uFE6F\uFF00-\uFF60\u{1F000}-\u{3FFFF}]/u;

/** Estimated width of a word in pixels: the page's own serif is not known here. */
export function wordWidthPx(text: string, sizePx: number, weight: 'regular' | 'bold' = 'regular'): number {
  const widths = weight === 'bold' ? bold : regular;
  let thousandths = 0;
  for (const letter of text) thousandths += widths[letter] ?? (WIDE.test(letter) ? 1000 : 620);
  return (thousandths * sizePx * FACE_ALLOWANCE) / 1000;
}
