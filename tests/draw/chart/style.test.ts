import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { FAMILIES, familyClass } from '../../../src/draw/chart/family-colours/families.ts';
import { familyStyles } from '../../../src/draw/chart/family-colours/family-colours.ts';

const css = familyStyles() + readFileSync(resolve('templates/styles/charts.css'), 'utf8');

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
function luminance(hex: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const channel = parseInt(hex.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(a: string, b: string): number {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}

function coloursOf(name: string): string[] {
  return [...css.matchAll(new RegExp(`--${name}: (#[0-9a-f]{6});`, 'g'))].map((match) => match[1]!);
}

describe('colours of the charts', () => {
  it('have the contrast that WCAG asks of black on white', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  });

  // Lines and signs need 3:1 (WCAG 2.2, 1.4.11), words 4.5:1 (1.4.3); the family's colour is used for both.
  it.each([...FAMILIES.map((family) => `fam-${family}`), 'chart-warn'])(
    'reach 4.5:1 on light and on dark paper: %s',
    (name) => {
      const [light, ...dark] = coloursOf(name);
      expect(contrast(light!, '#ffffff')).toBeGreaterThanOrEqual(4.5);
      expect(contrast(light!, '#faf8f3')).toBeGreaterThanOrEqual(4.5);
      // Once for a system that asks for dark, once for a reader who does.
      expect(dark).toHaveLength(2);
      expect(new Set(dark).size).toBe(1);
      for (const colour of dark) expect(contrast(colour, '#1f2023')).toBeGreaterThanOrEqual(4.5);
    },
  );

  it('are the hues published by Okabe and Ito (Color Universal Design, 2008; values from memory)', () => {
    const published = ['#e69f00', '#56b4e9', '#009e73', '#f0e442', '#0072b2', '#d55e00', '#cc79a7'];
    const tints = FAMILIES.filter((family) => family !== 'unknown').map((family) => coloursOf(`tint-${family}`)[0]);
    expect([...tints].sort()).toEqual([...published].sort());
  });

  it('exist for every family as a class', () => {
    for (const family of FAMILIES) expect(css).toContain(`.${familyClass(family)} {`);
  });
});
