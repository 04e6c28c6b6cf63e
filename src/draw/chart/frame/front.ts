/** Who is in front, bar by bar, in the form the charts want. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import { listText } from '../../../model/words/plain-words.ts';
import { fitName, isolate, shorten } from '../../ruler/wording.ts';

export interface Front {
  /** True where the part is in front in that bar: it leads, or shares the leader's tune. */
  readonly isFront: (partId: string, bar: number) => boolean;
  /** Spans of bars in which the part leads. */
  readonly spansOf: (partId: string) => readonly { readonly from: number; readonly to: number }[];
  /** Parts that lead anywhere, in score order. */
  readonly parts: readonly Part[];
  /** The same with those that share a leader's tune anywhere. */
  readonly together: readonly Part[];
  /** How a sentence calls the foreground: the part's name where it is one alone, else `the foreground`. */
  readonly name: string;
}

interface NamedSpan {
  readonly partId: string;
  readonly from: number;
  readonly to: number;
}

function spansByPart(spans: readonly NamedSpan[]): ReadonlyMap<string, readonly NamedSpan[]> {
  const byPart = new Map<string, NamedSpan[]>();
  for (const span of spans) {
    const known = byPart.get(span.partId);
    if (known === undefined) byPart.set(span.partId, [span]);
    else known.push(span);
  }
  return byPart;
}

export function frontOf(stage: Stage): Front {
  const leads = spansByPart(stage.foreground);
  const all = spansByPart(stage.foreground.flatMap((span) => [span, ...span.shared]));
  const parts = stage.parts.filter((part) => leads.has(part.id));
  const together = stage.parts.filter((part) => all.has(part.id));
  const only = together.length === 1 ? parts[0] : undefined;
  return {
    isFront: (partId, bar) => all.get(partId)?.some((span) => bar >= span.from && bar <= span.to) ?? false,
    spansOf: (partId) => leads.get(partId) ?? [],
    parts,
    together,
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
