/** Figures of the measures that the repository keeps, one file a measure, and how a new run differs from them. */
import { existsSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';

const FOLDER = resolve('tests/bench/figures');

/** By what was measured, the figure: a share in per cent where a bench prints one, else a count. */
export type Figures = Readonly<Record<string, number>>;

/** A line of a bench: what was measured on what, and its figures as text (`roots 97.2 %, basses 98.1 %`; `98.8 % of 1295; asked 6`). */
export interface BenchLine {
  readonly on: string;
  readonly text: string;
}

/** The figures of lines: of each piece of text the share where it has one, else its only number; what stands before it names it. */
export function figuresOf(lines: readonly BenchLine[]): Figures {
  const found = lines.flatMap(({ on, text }) =>
    text.split(/[,;] /).flatMap((piece): [string, number][] => {
      const match = /^(.*?)\s*(-?\d+(?:\.\d+)?) %/.exec(piece) ?? /^(\D*?)\s*(-?\d+(?:\.\d+)?)(?!.*\d)/.exec(piece);
      return match === null ? [] : [[`${on}${match[1] === '' ? '' : `: ${match[1] ?? ''}`}`, Number(match[2])]];
    }),
  );
  return Object.fromEntries(found);
}

function fileOf(measure: string): string {
  return join(FOLDER, `${measure}.json`);
}

/** Measures of which figures are kept. */
export function keptMeasures(): readonly string[] {
  return readdirSync(FOLDER)
    .filter((name) => name.endsWith('.json'))
    .map((name) => name.replace('.json', ''))
    .sort();
}

/** Empty where none are kept. */
export function keptFigures(measure: string): Figures {
  return existsSync(fileOf(measure)) ? (JSON.parse(readFileSync(fileOf(measure), 'utf8')) as Figures) : {};
}

export function keepFigures(measure: string, figures: Figures): void {
  writeFileSync(fileOf(measure), `${JSON.stringify(figures, undefined, 2)}\n`);
}

/** What rose, fell, came or went, a line each; empty where all is as it was. */
export function differences(kept: Figures, now: Figures): readonly string[] {
  return [...new Set([...Object.keys(kept), ...Object.keys(now)])].flatMap((name): string[] => {
    const [before, after] = [kept[name], now[name]];
    if (before === after) return [];
    if (before === undefined) return [`new   ${name}: ${String(after)}`];
    if (after === undefined) return [`gone  ${name}: was ${String(before)}`];
    const change = Math.abs(after - before).toFixed(2);
    return [`${after > before ? 'rose ' : 'fell '} ${name}: ${String(before)} to ${String(after)} (by ${change})`];
  });
}
