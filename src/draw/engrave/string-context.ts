/** The drawing surface that VexFlow is given: it passes strokes, fills and glyphs on to a sheet and ignores the rest. */
import { RenderContext } from 'vexflow/core';
import type { FontInfo } from 'vexflow/core';
import { GLYPH_EM_PX } from './glyph-table.ts';
import type { Sheet } from './sheet.ts';
import { drawGlyph, fillBox, fillShape, point, strokeLine } from './sheet.ts';

/** Colours are the page's (`currentColor`) and ids would come from a global counter, so both are dropped. */
export class StringContext extends RenderContext {
  readonly #sheet: Sheet;
  #lineWidth = 1;
  #scale = 1;
  #path = '';
  #corners: (readonly [number, number])[] = [];
  #saved: number[] = [];

  constructor(sheet: Sheet) {
    super();
    this.#sheet = sheet;
  }

  override beginPath(): this {
    this.#path = '';
    this.#corners = [];
    return this;
  }

  override moveTo(x: number, y: number): this {
    this.#path += `M${point(x, y)}`;
    this.#corners.push([x, y]);
    return this;
  }

  override lineTo(x: number, y: number): this {
    this.#path += `L${point(x, y)}`;
    this.#corners.push([x, y]);
    return this;
  }

  override bezierCurveTo(x1: number, y1: number, x2: number, y2: number, x: number, y: number): this {
    this.#path += `C${point(x1, y1)} ${point(x2, y2)} ${point(x, y)}`;
    this.#corners.push([x, y]);
    return this;
  }

  override quadraticCurveTo(x1: number, y1: number, x: number, y: number): this {
    this.#path += `Q${point(x1, y1)} ${point(x, y)}`;
    this.#corners.push([x, y]);
    return this;
  }

  override closePath(): this {
    this.#path += 'z';
    return this;
  }

  override fill(): this {
    if (this.#path !== '') fillShape(this.#sheet, this.#path, this.#corners);
    return this;
  }

  override stroke(): this {
    const [from, to] = this.#corners;
    if (from !== undefined && to !== undefined && this.#corners.length === 2) {
      strokeLine(this.#sheet, from[0], from[1], to[0], to[1], this.#lineWidth);
    }
    return this;
  }

  override fillRect(x: number, y: number, width: number, height: number): this {
    const top = height < 0 ? y + height : y;
    fillBox(this.#sheet, x, top, width, Math.abs(height));
    return this;
  }

  override fillText(text: string, x: number, y: number): this {
    let left = x;
    for (const character of text) left += drawGlyph(this.#sheet, character, left, y, this.#scale);
    return this;
  }

  override setLineWidth(width: number): this {
    this.#lineWidth = width;
    return this;
  }

  override setFont(font?: string | FontInfo, size?: string | number): this {
    const given = typeof font === 'object' ? font.size : size;
    // A bare number means points.
    const points =
      typeof given === 'number' ? given : Number.parseFloat(given ?? '30') * (given?.endsWith('px') ? 0.75 : 1);
    this.#scale = (points * 4) / 3 / GLYPH_EM_PX;
    return this;
  }

  override getFont(): string {
    return `${String((this.#scale * GLYPH_EM_PX * 3) / 4)}pt Bravura`;
  }

  override save(): this {
    this.#saved.push(this.#lineWidth);
    return this;
  }

  override restore(): this {
    this.#lineWidth = this.#saved.pop() ?? this.#lineWidth;
    return this;
  }

  override measureText(): { x: number; y: number; width: number; height: number } {
    return { x: 0, y: 0, width: 0, height: 0 };
  }

  override get fillStyle(): string {
    return '';
  }
  override set fillStyle(_style: string | CanvasGradient | CanvasPattern) {
    /* the page's colour */
  }
  override get strokeStyle(): string {
    return '';
  }
  override set strokeStyle(_style: string | CanvasGradient | CanvasPattern) {
    /* the page's colour */
  }

  /* What has no meaning here. */
  override clear(): void {
    /* nothing is drawn twice */
  }
  override setFillStyle(): this {
    return this;
  }
  override setBackgroundFillStyle(): this {
    return this;
  }
  override setStrokeStyle(): this {
    return this;
  }
  override setShadowColor(): this {
    return this;
  }
  override setShadowBlur(): this {
    return this;
  }
  override setLineCap(): this {
    return this;
  }
  override setLineDash(): this {
    return this;
  }
  override scale(): this {
    return this;
  }
  override rect(): this {
    return this;
  }
  override resize(): this {
    return this;
  }
  override clearRect(): this {
    return this;
  }
  override pointerRect(): this {
    return this;
  }
  override arc(): this {
    return this;
  }
  override openGroup(): undefined {
    return undefined;
  }
  override closeGroup(): void {
    /* no groups */
  }
  override openRotation(): void {
    /* nothing is rotated */
  }
  override closeRotation(): void {
    /* nothing is rotated */
  }
  override add(): void {
    /* no children */
  }
}
