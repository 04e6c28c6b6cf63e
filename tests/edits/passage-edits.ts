/** Edits of passages: lines given and doubled, later entries, bars silenced and rewritten. */
import type { Claim, Edit } from './claims.ts';
import {
  anyPart,
  barsBegun,
  barsOfPart,
  edited,
  freshKey,
  HEIRS,
  oneOf,
  passageOf,
  pitchedParts,
  withNotes,
  withPart,
} from './pick.ts';
import type { SheetNote, SheetPart } from './sheet.ts';

function isInPart(part: SheetPart, bars: readonly number[]): readonly SheetNote[] {
  const isIn = new Set(bars);
  return part.notes.filter((note) => isIn.has(note.bar));
}

/** Four or six bars of a part are another's now; what that one played there goes. */
export const givePassage: Edit = (pair, draw) => {
  const from = oneOf(pitchedParts(pair.after, draw), draw);
  const bars = from === undefined ? undefined : passageOf(pair.after, from, draw.next() < 0.5 ? 4 : 6, draw);
  if (from === undefined || bars === undefined) return undefined;
  const isIn = new Set(bars);
  const taken = isInPart(from, bars);
  const key = (note: SheetNote): string => `${String(note.bar)} ${note.onset.toFixed(2)} ${String(note.midi % 12)}`;
  const codes = new Set(taken.map(key));
  // Nobody else has the line already.
  const heirs = pitchedParts(pair.after, draw).filter(
    (part) =>
      part.key !== from.key && isInPart(part, bars).filter((note) => codes.has(key(note))).length < taken.length / 2,
  );
  const to = oneOf(heirs, draw);
  if (to === undefined) return undefined;
  const without = withNotes(pair.after, from.key, (note) => (isIn.has(note.bar) ? [] : [note]));
  const after = withPart(without, to.key, (part) => ({
    ...part,
    notes: [...part.notes.filter((note) => !isIn.has(note.bar)), ...taken],
  }));
  return edited(pair, after, [{ kind: 'given', part: from.key, to: to.key, bars }], from.key, to.key);
};

/** A part that rests for four bars or more joins another there, in unison or an octave below. */
export const doubleLine: Edit = (pair, draw) => {
  const of = oneOf(pitchedParts(pair.after, draw), draw);
  const bars = of === undefined ? undefined : passageOf(pair.after, of, 4, draw);
  if (of === undefined || bars === undefined) return undefined;
  const around = new Set(bars);
  const resting = pitchedParts(pair.after, draw, 8).filter(
    (part) => part.key !== of.key && ![...barsOfPart(pair.after, part)].some((bar) => around.has(bar)),
  );
  const octaves = draw.next() < 0.65 ? -1 : 0;
  const heir = oneOf(resting, draw);
  const notes = isInPart(of, bars).map((note) => ({ ...note, midi: note.midi + 12 * octaves, velocity: 70 }));
  if (notes.length < 6) return undefined;
  const doubles = (part: number): Claim => ({ kind: 'doubles', part, of: of.key, octaves, bars });
  if (heir !== undefined) {
    const after = withPart(pair.after, heir.key, (part) => ({ ...part, notes: [...part.notes, ...notes] }));
    return edited(pair, after, [doubles(heir.key)], of.key, heir.key);
  }
  const taken = pair.after.parts.map(({ name }) => name.toLowerCase());
  const fresh = oneOf(
    HEIRS.filter(([name]) => !taken.some((other) => other.includes(name.toLowerCase()))),
    draw,
  );
  if (fresh === undefined) return undefined;
  const key = freshKey(pair);
  const part: SheetPart = {
    key,
    name: fresh[0],
    instrument: 'other',
    program: fresh[1],
    isDrums: false,
    dynamics: 'velocity',
    notes,
    controls: [],
  };
  const after = { ...pair.after, parts: [...pair.after.parts, part] };
  return edited(pair, after, [{ kind: 'added', part: key }, doubles(key)], of.key, key);
};

/** A line that begins after rests begins two bars later. */
export const enterLater: Edit = (pair, draw) => {
  const { bars } = pair.after;
  const found = pitchedParts(pair.after, draw).flatMap((part) => {
    const sounding = barsOfPart(pair.after, part);
    const begun = barsBegun(part);
    return bars.flatMap(({ id }, index) => {
      const before = bars[index - 1];
      const isEntry = begun.has(id) && (before === undefined || !sounding.has(before.id));
      const goesOn = bars.slice(index, index + 5).filter((bar) => begun.has(bar.id)).length === 5;
      return isEntry && goesOn ? [{ part, index }] : [];
    });
  });
  const chosen = oneOf(found, draw);
  if (chosen === undefined) return undefined;
  const gone = new Set(bars.slice(chosen.index, chosen.index + 2).map(({ id }) => id));
  const after = withNotes(pair.after, chosen.part.key, (note) => (gone.has(note.bar) ? [] : [note]));
  return edited(pair, after, [{ kind: 'enters-later', part: chosen.part.key, bars: [...gone] }], chosen.part.key);
};

export const silencePassage: Edit = (pair, draw) => {
  const part = anyPart(pair, draw);
  const bars = part === undefined ? undefined : passageOf(pair.after, part, 5, draw);
  if (part === undefined || bars === undefined) return undefined;
  // The middle: before and after it the part plays on.
  const inner = new Set(bars.slice(1, 4));
  const after = withNotes(pair.after, part.key, (note) => (inner.has(note.bar) ? [] : [note]));
  return edited(
    pair,
    after,
    [{ kind: 'edit', part: part.key, as: ['silenced', 'rewritten'], bars: [...inner] }],
    part.key,
  );
};

export const rewritePassage: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  const bars = part === undefined ? undefined : passageOf(pair.after, part, 3, draw);
  if (part === undefined || bars === undefined) return undefined;
  const isIn = new Set(bars);
  const steps = [-4, -3, -2, 2, 3, 4, 5];
  const after = withNotes(pair.after, part.key, (note) => [
    isIn.has(note.bar) ? { ...note, midi: note.midi + (oneOf(steps, draw) ?? 2) } : note,
  ]);
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['rewritten'], bars }], part.key);
};

export const otherRhythm: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  const bars = part === undefined ? undefined : passageOf(pair.after, part, 2, draw);
  // In swing the second half of a beat would be played later.
  if (part === undefined || bars === undefined || !draw.isEven) return undefined;
  const isIn = new Set(bars);
  // Quarters on even beats begin a half beat later: the same pitches in the same order.
  const moved = part.notes.filter((note) => isIn.has(note.bar) && Math.abs(note.onset - 1) < 1e-6 && note.held > 0.6);
  const hit = new Set(moved.map((note) => note.bar));
  if (hit.size === 0) return undefined;
  const ids = new Set(moved);
  const after = withNotes(pair.after, part.key, (note) => [
    ids.has(note) ? { ...note, onset: note.onset + 0.5, held: Math.max(0.3, note.held - 0.5) } : note,
  ]);
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['rhythm', 'rewritten'], bars: [...hit] }], part.key);
};

/** One note more, one less, or another instead. */
export const oneNote: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  if (part === undefined) return undefined;
  const inBar = (bar: number): number => part.notes.filter((note) => note.bar === bar).length;
  const note = oneOf(
    part.notes.filter((each) => inBar(each.bar) >= 2 && each.held >= 0.4),
    draw,
  );
  if (note === undefined) return undefined;
  const way = draw.next();
  const third = { ...note, midi: note.midi + 4 };
  const put = way < 0.34 ? [note, third] : way < 0.67 ? [] : [third];
  const after = withNotes(pair.after, part.key, (each) => (each === note ? put : [each]));
  return edited(
    pair,
    after,
    [{ kind: 'edit', part: part.key, as: ['rewritten', 'rhythm'], bars: [note.bar] }],
    part.key,
  );
};
