/** The sketches that stand in a page, each unpacked when it is first wanted. */
import type { Sketch } from '../../sound/sketch.ts';
import { unpackSketch } from '../../sound/sketch-text.ts';
import { all } from '../feature.ts';

export interface PageSketches {
  readonly sketches: readonly Sketch[];
  /** True where other stages were too much for one page. */
  readonly isCut: boolean;
  /** Loudest of all stages: one volume for all, so that two of them compare. */
  readonly loudestDb: number;
}

/** True where the page has anything to play; reads nothing. */
export function hasSketches(): boolean {
  return document.querySelector('template.sketch') !== null;
}

/** All sketches of the page in the order of the stages. */
export function readSketches(): PageSketches {
  const templates = all<HTMLTemplateElement>(document, 'template.sketch');
  const sketches = templates
    .map((template) => unpackSketch(template.content.textContent))
    .sort((a, b) => a.order - b.order);
  return {
    sketches,
    isCut: templates.some((template) => template.classList.contains('is-alone')),
    loudestDb: Math.max(...sketches.map(({ loudestDb }) => loudestDb)),
  };
}
