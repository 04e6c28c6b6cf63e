/**
 * Colours and line patterns of the families, and the rules of the style sheet that set them. The hues of Okabe and Ito (2008) as tints, and darker (on
 * dark paper lighter) shades of the same hues for lines and words, so that lines reach 3:1 and words 4.5:1 against the paper (WCAG 2.2, 1.4.3 and
 * 1.4.11). Every family also has a hatch (`families`) and a line pattern of its own, so that none is told by colour alone.
 */
import type { Family } from '../../../model/music/instrument.ts';
import { FAMILIES, familyClass } from './families.ts';

interface FamilyColours {
  /** Lines and words on light paper and on dark. */
  readonly line: string;
  readonly lineOnDark: string;
  readonly tint: string;
  /** `stroke-dasharray` of its line. */
  readonly dash: string;
}

const COLOURS: Readonly<Record<Family, FamilyColours>> = {
  woodwind: { line: '#00785a', lineOnDark: '#2fc79b', tint: '#009e73', dash: 'none' },
  brass: { line: '#8f6200', lineOnDark: '#f0b040', tint: '#e69f00', dash: '7 2' },
  percussion: { line: '#b34700', lineOnDark: '#ff8a4d', tint: '#d55e00', dash: '1 2' },
  plucked: { line: '#9c4577', lineOnDark: '#e39cc0', tint: '#cc79a7', dash: '4 2 1 2' },
  keyboard: { line: '#1f75a6', lineOnDark: '#7cc8f2', tint: '#56b4e9', dash: '3 2' },
  voice: { line: '#6f6800', lineOnDark: '#f0e442', tint: '#f0e442', dash: '9 2 2 2' },
  strings: { line: '#005c94', lineOnDark: '#6bb4ea', tint: '#0072b2', dash: 'none' },
  unknown: { line: '#5c5c5c', lineOnDark: '#b8b8b8', tint: '#8c8c8c', dash: '2 4' },
};

function ofAll(declare: (family: Family, colours: FamilyColours) => string): string {
  return FAMILIES.map((family) => declare(family, COLOURS[family])).join('\n');
}

/** The style sheet of the families: custom properties on light and dark paper, and a class for each family (`familyClass`). */
export function familyStyles(): string {
  const onDark = ofAll((family, { lineOnDark }) => `--fam-${family}: ${lineOnDark};`);
  return `:root {
${ofAll((family, { line, tint }) => `--fam-${family}: ${line};\n--tint-${family}: ${tint};`)}
}
@media screen and (prefers-color-scheme: dark) {
:root:not([data-theme='light']) {
${onDark}
}
}
@media screen {
:root[data-theme='dark'] {
${onDark}
}
}
${ofAll(
  (family, { dash }) => `.${familyClass(family)} {
--family-line: var(--fam-${family});
--family-tint: var(--tint-${family});
--family-dash: ${dash};
}`,
)}
`;
}
