/** Edits of the order, meter, tempo and pitch of whole bars. */
import type { Draw, Edit, Pair } from './claims.ts';
import { barsOfPart, edited, oneOf, partOfKey, pitchedParts } from './pick.ts';
import type { Sheet, SheetBar, SheetNote } from './sheet.ts';

const NO_ORDER = { kind: 'order', inserted: 0, appended: 0, cut: 0, moved: 0 } as const;

function freshId({ before, after }: Pair): number {
  return 1 + Math.max(...before.bars.map(({ id }) => id), ...after.bars.map(({ id }) => id));
}

/** New music in bars like some of the piece: the drums as there, every other note at another pitch. */
function newBars(
  pair: Pair,
  from: number,
  count: number,
  draw: Draw,
): { bars: SheetBar[]; notes: Map<number, SheetNote[]> } {
  const first = freshId(pair);
  const sources = pair.after.bars.slice(from, from + count);
  const idOf = new Map(sources.map((bar, index) => [bar.id, first + index]));
  const notes = new Map(
    pair.after.parts.map((part) => [
      part.key,
      part.notes.flatMap((note): SheetNote[] => {
        const bar = idOf.get(note.bar);
        if (bar === undefined) return [];
        const steps = [-5, -4, -3, -2, 2, 3, 4, 5];
        return [{ ...note, bar, midi: part.isDrums ? note.midi : note.midi + (oneOf(steps, draw) ?? 2) }];
      }),
    ]),
  );
  return { bars: sources.map((bar) => ({ ...bar, id: idOf.get(bar.id) ?? 0 })), notes };
}

function withBars(sheet: Sheet, bars: readonly SheetBar[], notes: ReadonlyMap<number, readonly SheetNote[]>): Sheet {
  const parts = sheet.parts.map((part) => ({ ...part, notes: [...part.notes, ...(notes.get(part.key) ?? [])] }));
  return { ...sheet, bars, parts };
}

/** Quarters by which a note may sound over a bar line that is parted. */
const MOST_OVERHANG = 0.6;

/** Bar lines that no note is held over, by the index of the bar after them: nobody cuts through a note. */
function clearLines({ bars, parts }: Sheet): ReadonlySet<number> {
  const indexOf = new Map(bars.map(({ id }, index) => [id, index]));
  const crossed = new Set<number>();
  for (const note of parts.flatMap((part) => part.notes)) {
    let index = indexOf.get(note.bar) ?? bars.length;
    let left = note.onset + note.late + note.held - (bars[index]?.quarters ?? 0);
    for (index++; left > MOST_OVERHANG && index < bars.length; index++) {
      crossed.add(index);
      left -= bars[index]?.quarters ?? 0;
    }
  }
  return new Set([...Array(bars.length + 1).keys()].filter((index) => !crossed.has(index)));
}

/** Index of a bar at which `count` bars can be taken out or copied, leaving two at each end. */
function placeIn(sheet: Sheet, count: number, draw: Draw): number | undefined {
  const clear = clearLines(sheet);
  const { bars } = sheet;
  const isPlace = (index: number): boolean =>
    index >= 2 && index + count <= bars.length - 2 && clear.has(index) && clear.has(index + count);
  return oneOf([...bars.keys()].filter(isPlace), draw);
}

export const insertBars: Edit = (pair, draw) => {
  const count = 2 + Math.floor(draw.next() * 5);
  const at = placeIn(pair.after, count, draw);
  if (at === undefined) return undefined;
  const { bars, notes } = newBars(pair, at, count, draw);
  const all = [...pair.after.bars.slice(0, at), ...bars, ...pair.after.bars.slice(at)];
  return edited(pair, withBars(pair.after, all, notes), [{ ...NO_ORDER, inserted: count }]);
};

/** More music after the end: new, or the last bars once more. */
export const addAtEnd: Edit = (pair, draw) => {
  const count = 2 + Math.floor(draw.next() * 4);
  const from = pair.after.bars.length - count;
  if (from < 2) return undefined;
  const { bars, notes } = newBars(pair, from, count, draw);
  return edited(pair, withBars(pair.after, [...pair.after.bars, ...bars], notes), [{ ...NO_ORDER, appended: count }]);
};

export const cutBars: Edit = (pair, draw) => {
  const count = 2 + Math.floor(draw.next() * 5);
  const at = placeIn(pair.after, count, draw);
  if (at === undefined) return undefined;
  const bars = pair.after.bars.filter((_, index) => index < at || index >= at + count);
  return edited(pair, { ...pair.after, bars }, [{ ...NO_ORDER, cut: count }]);
};

export const moveBars: Edit = (pair, draw) => {
  const count = 4 + Math.floor(draw.next() * 3);
  const at = placeIn(pair.after, count, draw);
  if (at === undefined) return undefined;
  const bars = [...pair.after.bars];
  const taken = bars.splice(at, count);
  // Indices among the bars that stay.
  const clear = clearLines(pair.after);
  const isClear = (index: number): boolean => clear.has(index < at ? index : index + count);
  const places = bars.flatMap((_, index) =>
    index >= 1 && Math.abs(index - at) > count && isClear(index) ? [index] : [],
  );
  const to = oneOf(places, draw);
  if (to === undefined) return undefined;
  bars.splice(to, 0, ...taken);
  return edited(pair, { ...pair.after, bars }, [{ ...NO_ORDER, moved: count }]);
};

export const emptyBarAtStart: Edit = (pair) => {
  const first = pair.after.bars[0];
  if (first === undefined || pair.after.firstNumber === 0) return undefined;
  const bars = [{ ...first, id: freshId(pair) }, ...pair.after.bars];
  return edited(pair, { ...pair.after, bars }, [{ ...NO_ORDER, inserted: 1 }]);
};

/** Some bars of 4/4 are written as twice as many of 2/4. */
export const rebar: Edit = (pair, draw) => {
  const { bars } = pair.after;
  const isFour = ({ meter, quarters }: SheetBar): boolean =>
    meter.numerator === 4 && meter.denominator === 4 && quarters === 4;
  const count = draw.next() < 0.4 ? bars.length : 8;
  const starts = bars.flatMap((_, index) => {
    const span = bars.slice(index, index + count);
    return span.length === count && span.every(isFour) ? [index] : [];
  });
  const start = oneOf(starts, draw);
  if (start === undefined) return undefined;
  const chosen = new Set(bars.slice(start, start + count).map(({ id }) => id));
  const first = freshId(pair);
  const second = new Map([...chosen].map((id, index) => [id, first + index]));
  const two = { meter: { numerator: 2, denominator: 4 }, quarters: 2 };
  const after: Sheet = {
    ...pair.after,
    bars: bars.flatMap((bar) =>
      chosen.has(bar.id)
        ? [
            { ...bar, ...two },
            { ...bar, ...two, id: second.get(bar.id) ?? 0 },
          ]
        : [bar],
    ),
    parts: pair.after.parts.map((part) => {
      const placed = <Item extends { readonly bar: number; readonly onset: number }>(item: Item): Item =>
        chosen.has(item.bar) && item.onset >= 2
          ? { ...item, bar: second.get(item.bar) ?? 0, onset: item.onset - 2 }
          : item;
      return { ...part, notes: part.notes.map(placed), controls: part.controls.map(placed) };
    }),
  };
  return { ...edited(pair, after, [{ kind: 'rebarred', bars: [...chosen, ...second.values()] }]), halves: second };
};

function shifted(sheet: Sheet, semitones: number, isIn: (bar: number) => boolean): Sheet {
  const parts = sheet.parts.map((part) =>
    part.isDrums || /percussion|sound-effect/.test(part.instrument)
      ? part
      : {
          ...part,
          notes: part.notes.map((note) => (isIn(note.bar) ? { ...note, midi: note.midi + semitones } : note)),
        },
  );
  return { ...sheet, parts };
}

const INTERVALS = [-4, -3, -2, -1, 1, 2, 3, 5];

export const shiftAll: Edit = (pair, draw) => {
  const semitones = oneOf(INTERVALS, draw) ?? 2;
  return edited(
    pair,
    shifted(pair.after, semitones, () => true),
    [{ kind: 'shifted', semitones, bars: 'all' }],
  );
};

/** The whole in another key, and one part an octave beside that. */
export const shiftAllOneBesides: Edit = (pair, draw) => {
  const semitones = oneOf(INTERVALS, draw) ?? 2;
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  if (part === undefined) return undefined;
  const octave = draw.next() < 0.5 ? -12 : 12;
  const all = shifted(pair.after, semitones, () => true);
  const own = partOfKey(all, part.key);
  const notes = own.notes.map((note) => ({ ...note, midi: note.midi + octave }));
  const after = { ...all, parts: all.parts.map((each) => (each === own ? { ...own, notes } : each)) };
  return edited(
    pair,
    after,
    [
      { kind: 'shifted', semitones, bars: 'all' },
      { kind: 'edit', part: part.key, as: ['transposed'], semitones: octave, bars: [...barsOfPart(all, own)] },
    ],
    part.key,
  );
};

/** From a bar on everything stands in another key. */
export const shiftFromBar: Edit = (pair, draw) => {
  const { bars } = pair.after;
  const from = Math.floor(bars.length * (0.4 + 0.4 * draw.next()));
  const chosen = bars.slice(from).map(({ id }) => id);
  const semitones = oneOf(INTERVALS, draw) ?? 2;
  const isIn = new Set(chosen);
  return edited(
    pair,
    shifted(pair.after, semitones, (bar) => isIn.has(bar)),
    [{ kind: 'shifted', semitones, bars: chosen }],
  );
};

export const changeTempo: Edit = (pair, draw) => {
  const { bars } = pair.after;
  const from = draw.next() < 0.5 ? 0 : Math.floor(bars.length / 2);
  const factor = draw.next() < 0.5 ? 0.85 : 1.12;
  const chosen = new Set(bars.slice(from).map(({ id }) => id));
  const after = {
    ...pair.after,
    bars: bars.map((bar) => (chosen.has(bar.id) ? { ...bar, tempo: bar.tempo * factor } : bar)),
  };
  return edited(pair, after, [{ kind: 'tempo', bars: [...chosen] }]);
};
