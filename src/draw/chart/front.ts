/** Who is in front, bar by bar, in the form the charts want. */
import type { Part, Stage } from '../../model/arrangement.ts';
import { listText } from '../../model/plain-words.ts';
import { fitName, isolate, shorten } from './wording.ts';

export interface Front {
  /** True where the part is in front in that bar. */
  readonly isFront: (partId: string, bar: number) => boolean;
  /** Spans of bars in which the part is in front. */
  readonly spansOf: (partId: string) => readonly { readonly from: number; readonly to: number }[];
  /** Parts that are in front anywhere, in score order. */
  readonly parts: readonly Part[];
  /** How a sentence calls the foreground: the part's name where it is one, else `the foreground`. */
  readonly name: string;
}

export function frontOf(stage: Stage): Front {
  const spans = new Map<string, { from: number; to: number }[]>();
  for (const span of stage.foreground) {
    const known = spans.get(span.partId) ?? [];
    known.push({ from: span.from, to: span.to });
    spans.set(span.partId, known);
  }
  const parts = stage.parts.filter((part) => spans.has(part.id));
  const only = parts.length === 1 ? parts[0] : undefined;
  return {
    isFront: (partId, bar) => spans.get(partId)?.some((span) => bar >= span.from && bar <= span.to) ?? false,
    spansOf: (partId) => spans.get(partId) ?? [],
    parts,
    name: only === undefined ? 'the foreground' : nameOf(only),
  };
}

/** A part's name for a sentence: shortened and kept from turning the words around it. */
export function nameOf(part: Part): string {
  return isolate(shorten(labelOf(part), 40));
}

/** What a label calls a part: its name, or its instrument where the name is blank. */
export function labelOf(part: Part): string {
  return /[^\s\u202A-\u202E\u2066-\u2069]/.test(part.name) ? part.name : part.instrumentName;
}

/** A part's name as a heading or cell of a table. */
export function tableName(part: Part): string {
  return shorten(labelOf(part), 60);
}

/** Names of several parts for a sentence. */
export function namesOf(parts: readonly Part[], most = 4): string {
  return listText(parts.map(nameOf), most);
}

/** Labels of parts that stand under one another, all whole or, where one is too long for the width, all in short. */
export function stripLabels(parts: readonly Part[], width: number): ReadonlyMap<string, string> {
  const fits = (part: Part): boolean => fitName(labelOf(part), width, 11) === shorten(labelOf(part), 400);
  const inShort = !parts.every(fits);
  return new Map(
    parts.map((part) => [
      part.id,
      fitName(inShort && part.abbreviation !== '' ? part.abbreviation : labelOf(part), width, 11),
    ]),
  );
}

/** A part's label at the end of a line: its name, or its short name where that is too long. */
export function endLabel(part: Part, width: number): string {
  const whole = shorten(labelOf(part), 400);
  const name = fitName(labelOf(part), width, 11);
  return name === whole || part.abbreviation === '' ? name : fitName(part.abbreviation, width, 11);
}
