/** Choosing what is edited. */
import type { Claim, Draw, Edited, Pair } from './claims.ts';
import type { Sheet, SheetNote, SheetPart } from './sheet.ts';

export function oneOf<Item>(items: readonly Item[], { next }: Pick<Draw, 'next'>): Item | undefined {
  return items[Math.floor(next() * items.length)];
}

export function withPart(sheet: Sheet, key: number, edit: (part: SheetPart) => SheetPart): Sheet {
  return { ...sheet, parts: sheet.parts.map((part) => (part.key === key ? edit(part) : part)) };
}

export function withNotes(sheet: Sheet, key: number, edit: (note: SheetNote) => readonly SheetNote[]): Sheet {
  return withPart(sheet, key, (part) => ({ ...part, notes: part.notes.flatMap(edit) }));
}

export function partOfKey(sheet: Sheet, key: number): SheetPart {
  const part = sheet.parts.find((each) => each.key === key);
  if (part === undefined) throw new Error(`the sheet has no part ${String(key)}`);
  return part;
}

/** Ids of bars in which a part sounds, written lengths taken from how long it is held. */
export function barsOfPart(sheet: Sheet, part: SheetPart): ReadonlySet<number> {
  const indexOf = new Map(sheet.bars.map((bar, index) => [bar.id, index]));
  const sounding = new Set<number>();
  for (const note of part.notes) {
    let index = indexOf.get(note.bar) ?? -1;
    let left = note.onset + note.held;
    while (index >= 0 && index < sheet.bars.length && left > 0.1) {
      sounding.add(sheet.bars[index]!.id);
      left -= sheet.bars[index]!.quarters;
      index++;
    }
  }
  return sounding;
}

/** Ids of bars in which a part begins a note. */
export function barsBegun(part: SheetPart): ReadonlySet<number> {
  return new Set(part.notes.map((note) => note.bar));
}

const FEWEST_NOTES = 16;

export function pitchedParts(sheet: Sheet, draw: Draw, fewest = FEWEST_NOTES): readonly SheetPart[] {
  return sheet.parts.filter(
    (part) =>
      draw.isFree(part) &&
      !part.isDrums &&
      !/percussion|sound-effect|unknown/.test(part.instrument) &&
      part.notes.length >= fewest,
  );
}

/** Ids of `count` bars on end in which the part begins notes; undefined where it plays nowhere so long. */
export function passageOf(
  sheet: Sheet,
  part: SheetPart,
  count: number,
  draw: Pick<Draw, 'next'>,
): readonly number[] | undefined {
  const begun = barsBegun(part);
  const starts = sheet.bars.flatMap((_, index) => {
    const span = sheet.bars.slice(index, index + count);
    return span.length === count && span.every((bar) => begun.has(bar.id)) ? [index] : [];
  });
  const start = oneOf(starts, draw);
  return start === undefined ? undefined : sheet.bars.slice(start, start + count).map((bar) => bar.id);
}

export function edited(pair: Pair, after: Sheet, claims: readonly Claim[], ...touched: readonly number[]): Edited {
  return { before: pair.before, after, claims, touched };
}

/** A key that no part has. */
export function freshKey({ before, after }: Pair): number {
  return 1 + Math.max(...before.parts.map(({ key }) => key), ...after.parts.map(({ key }) => key));
}

/** Any part with enough notes, drums too. */
export function anyPart({ after }: Pair, draw: Draw, fewest = 16): SheetPart | undefined {
  return oneOf(
    after.parts.filter((part) => draw.isFree(part) && part.notes.length >= fewest),
    draw,
  );
}

/** Names and programs of instruments that a part may be given to. */
export const HEIRS = [
  ['Oboe', 68],
  ['Bassoon', 70],
  ['Trumpet in C', 56],
  ['Marimba', 12],
  ['Accordion', 21],
  ['Flute', 73],
  ['Violin', 40],
  ['Cello', 42],
  ['Harp', 46],
] as const;
