/**
 * VexFlow without a browser: text is measured from the glyph table, CSS font strings are read here, and its metrics are
 * looked up without deep copies. Nothing here changes while scores are engraved.
 */
import { Element, Font, Metrics } from 'vexflow/core';
import type { FontInfo } from 'vexflow/core';
import { GLYPH_EM_PX, glyphOf, wordWidthPx } from './glyph-table.ts';

interface MeasuredText {
  readonly width: number;
  readonly actualBoundingBoxAscent: number;
  readonly actualBoundingBoxDescent: number;
  readonly actualBoundingBoxLeft: number;
  readonly actualBoundingBoxRight: number;
}

/** Size in pixels of a CSS font string such as `bold 30pt Bravura,Academico`; a point is 4/3 px. */
function sizePxOf(cssFont: string): number {
  const match = /(\d+(?:\.\d+)?)(px|pt)/.exec(cssFont);
  return Number(match?.[1] ?? '16') * (match?.[2] === 'px' ? 1 : 4 / 3);
}

function measure(text: string, sizePx: number): MeasuredText {
  const scale = sizePx / GLYPH_EM_PX;
  let width = 0;
  let top = Infinity;
  let bottom = -Infinity;
  for (const character of text) {
    const glyph = glyphOf(character)?.record;
    if (glyph === undefined) {
      width += wordWidthPx(character, sizePx);
      top = Math.min(top, -0.7 * sizePx);
      bottom = Math.max(bottom, 0.2 * sizePx);
    } else {
      width += glyph.advance * scale;
      top = Math.min(top, glyph.top * scale);
      bottom = Math.max(bottom, glyph.bottom * scale);
    }
  }
  return {
    width,
    actualBoundingBoxAscent: text === '' ? 0 : -top,
    actualBoundingBoxDescent: text === '' ? 0 : bottom,
    actualBoundingBoxLeft: 0,
    actualBoundingBoxRight: width,
  };
}

/** VexFlow's words are never drawn through it, so one face is enough: family, size, weight and style of a CSS font string. */
function fontOfCss(css: string): Required<FontInfo> {
  const match = /^(.*?)(\d+(?:\.\d+)?(?:px|pt))\s+(.+)$/.exec(css.trim());
  const before = match?.[1] ?? '';
  return {
    family: match?.[3] ?? 'Bravura,Academico',
    size: match?.[2] ?? '30pt',
    weight: /\bbold\b/.test(before) ? 'bold' : 'normal',
    style: /\bitalic\b/.test(before) ? 'italic' : 'normal',
  };
}

let prepared = false;

/** Fits VexFlow for work without a browser; later calls do nothing. */
export function prepareVexflow(): void {
  if (prepared) return;
  prepared = true;

  const sizes = new Map<string, number>();
  const measured = new Map<string, Map<string, MeasuredText>>();
  const measuringContext = {
    font: '',
    measureText(text: string): MeasuredText {
      let ofFont = measured.get(this.font);
      if (ofFont === undefined) {
        ofFont = new Map();
        measured.set(this.font, ofFont);
        sizes.set(this.font, sizePxOf(this.font));
      }
      let found = ofFont.get(text);
      if (found === undefined) {
        found = Object.freeze(measure(text, sizes.get(this.font) ?? GLYPH_EM_PX));
        ofFont.set(text, found);
      }
      return found;
    },
  };
  const canvas = { getContext: () => measuringContext };
  Element.setTextMeasurementCanvas(canvas as unknown as HTMLCanvasElement);

  Font.fromCSSString = fontOfCss;

  // VexFlow copies a flat record with structuredClone for every element it makes, which took a seventh of the time.
  const plainFont = Metrics.getFontInfo.bind(Metrics);
  const plainStyle = Metrics.getStyle.bind(Metrics);
  const plainGet = Metrics.get.bind(Metrics);
  const fonts = new Map<string, ReturnType<typeof plainFont>>();
  const styles = new Map<string, ReturnType<typeof plainStyle>>();
  const values = new Map<string, unknown>();
  Metrics.getFontInfo = (key) => {
    let font = fonts.get(key);
    if (font === undefined) {
      font = plainFont(key);
      fonts.set(key, font);
    }
    return { ...font };
  };
  Metrics.getStyle = (key) => {
    let style = styles.get(key);
    if (style === undefined) {
      style = plainStyle(key);
      styles.set(key, style);
    }
    return { ...style };
  };
  Metrics.get = (key: string, fallback?: unknown): unknown => {
    if (!values.has(key)) values.set(key, plainGet(key));
    return values.get(key) ?? fallback;
  };
}
