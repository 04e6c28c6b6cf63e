/** Edits of whole parts. */
import type { Claim, Edit } from './claims.ts';
import {
  anyPart,
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
import type { Sheet, SheetNote, SheetPart } from './sheet.ts';

export const addPart: Edit = (pair, draw) => {
  const part = anyPart(pair, draw, 8);
  if (part === undefined || pair.after.parts.length < 4) return undefined;
  const before = { ...pair.before, parts: pair.before.parts.filter(({ key }) => key !== part.key) };
  return { before, after: pair.after, claims: [{ kind: 'added', part: part.key }], touched: [part.key] };
};

export const removePart: Edit = (pair, draw) => {
  const part = anyPart(pair, draw, 8);
  if (part === undefined || pair.after.parts.length < 4) return undefined;
  const after = { ...pair.after, parts: pair.after.parts.filter(({ key }) => key !== part.key) };
  return edited(pair, after, [{ kind: 'removed', part: part.key }], part.key);
};

function secondsOf(sheet: Sheet, bar: number): number {
  return 60 / (sheet.bars.find(({ id }) => id === bar)?.tempo ?? 120);
}

export const playLater: Edit = (pair, draw) => {
  const part = anyPart(pair, draw, 24);
  if (part === undefined) return undefined;
  const seconds = 0.03 + 0.015 * draw.next();
  const after = withNotes(pair.after, part.key, (note) => [
    { ...note, late: note.late + seconds / secondsOf(pair.after, note.bar) },
  ]);
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['timing'], how: 'later', bars: 'any' }], part.key);
};

export const quantise: Edit = (pair, draw) => {
  const spreadOf = (part: SheetPart): number =>
    Math.sqrt(
      part.notes.reduce((sum, note) => sum + (note.late * secondsOf(pair.after, note.bar)) ** 2, 0) / part.notes.length,
    );
  const parts = pair.after.parts.filter(
    (part) => draw.isFree(part) && part.notes.length >= 24 && spreadOf(part) > 0.008,
  );
  const part = oneOf(parts, draw);
  if (part === undefined || !draw.isEven) return undefined;
  const after = withNotes(pair.after, part.key, (note) => [{ ...note, late: 0 }]);
  return edited(
    pair,
    after,
    [{ kind: 'edit', part: part.key, as: ['timing'], how: 'quantised', bars: 'any' }],
    part.key,
  );
};

const VOLUME = 7;

/** The fader of a part, from its first bar on. */
export const setVolume: Edit = (pair, draw) => {
  const part = anyPart(pair, draw, 12);
  const first = pair.after.bars[0];
  if (part === undefined || first === undefined) return undefined;
  const settings = part.controls.flatMap(({ controller, setting }) => (controller === VOLUME ? [setting] : []));
  const old = settings[0] ?? 100;
  const isSofter = old > 80 || draw.next() < 0.5;
  const factor = isSofter ? 0.72 : 1.3;
  const scaled = (setting: number): number => Math.min(127, Math.round(setting * factor));
  const others = part.controls.filter(({ controller }) => controller !== VOLUME);
  const own = part.controls.filter(({ controller }) => controller === VOLUME);
  const controls = [
    ...others,
    ...(own.length > 0 ? own : [{ bar: first.id, onset: 0, controller: VOLUME, setting: 100 }]).map((control) => ({
      ...control,
      setting: scaled(control.setting),
    })),
  ];
  const after = withPart(pair.after, part.key, (each) => ({ ...each, controls }));
  const bars = [...barsOfPart(pair.after, part)];
  return edited(
    pair,
    after,
    [{ kind: 'edit', part: part.key, as: ['balance'], sign: isSofter ? -1 : 1, bars }],
    part.key,
  );
};

/** The keys of a part, or of some bars of it, are struck softer. */
export const playSofter: Edit = (pair, draw) => {
  if (draw.isTake) return setVolume(pair, draw);
  const part = oneOf(
    pair.after.parts.filter((each) => draw.isFree(each) && each.dynamics === 'velocity' && each.notes.length >= 16),
    draw,
  );
  if (part === undefined) return undefined;
  const passage = draw.next() < 0.5 ? passageOf(pair.after, part, 6, draw) : undefined;
  const bars = passage ?? [...barsOfPart(pair.after, part)];
  const isIn = new Set(bars);
  const after = withNotes(pair.after, part.key, (note) => [
    isIn.has(note.bar) ? { ...note, velocity: Math.max(1, Math.round(note.velocity * 0.55)) } : note,
  ]);
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['balance'], sign: -1, bars }], part.key);
};

/** A rise and fall drawn with the expression controller over eight bars. */
export const drawCurve: Edit = (pair, draw) => {
  const parts = pair.after.parts.filter(
    (part) =>
      draw.isFree(part) &&
      !part.isDrums &&
      part.notes.length >= 16 &&
      !part.controls.some(({ controller }) => controller !== VOLUME),
  );
  const part = oneOf(parts, draw);
  const passage = part === undefined ? undefined : passageOf(pair.after, part, 6, draw);
  if (part === undefined || passage === undefined) return undefined;
  const drawn = passage.flatMap((bar, index) => {
    const quarters = pair.after.bars.find(({ id }) => id === bar)?.quarters ?? 4;
    return Array.from({ length: 8 }, (_, step) => {
      const place = (index + step / 8) / passage.length;
      return {
        bar,
        onset: (step * quarters) / 8,
        controller: 11,
        setting: Math.round(127 - 70 * Math.sin(Math.PI * place)),
      };
    });
  });
  const next = pair.after.bars[pair.after.bars.findIndex(({ id }) => id === passage.at(-1)) + 1];
  const reset = next === undefined ? [] : [{ bar: next.id, onset: 0, controller: 11, setting: 127 }];
  const after = withPart(pair.after, part.key, (each) => ({
    ...each,
    controls: [...each.controls, ...drawn, ...reset],
  }));
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['balance'], bars: 'any' }], part.key);
};

export const octavePart: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  if (part === undefined) return undefined;
  const semitones = draw.next() < 0.5 ? -12 : 12;
  const after = withNotes(pair.after, part.key, (note) => [{ ...note, midi: note.midi + semitones }]);
  const bars = [...barsOfPart(pair.after, part)];
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['transposed'], semitones, bars }], part.key);
};

export const octavePassage: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  const bars = part === undefined ? undefined : passageOf(pair.after, part, 4, draw);
  if (part === undefined || bars === undefined) return undefined;
  const semitones = draw.next() < 0.5 ? -12 : 12;
  const isIn = new Set(bars);
  const after = withNotes(pair.after, part.key, (note) => [
    isIn.has(note.bar) ? { ...note, midi: note.midi + semitones } : note,
  ]);
  return edited(pair, after, [{ kind: 'edit', part: part.key, as: ['transposed'], semitones, bars }], part.key);
};

/** All that a part plays is played by another instrument now. */
export const otherInstrument: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  const taken = pair.after.parts.map(({ name, instrument }) => `${name} ${instrument}`.toLowerCase());
  const free = HEIRS.filter(([name]) => !taken.some((other) => other.includes(name.split(' ')[0]!.toLowerCase())));
  const heir = oneOf(free, draw);
  if (part === undefined || heir === undefined) return undefined;
  const [name, program] = heir;
  const after = withPart(pair.after, part.key, (each) => ({ ...each, name, program }));
  return edited(pair, after, [{ kind: 'renamed', part: part.key }], part.key);
};

export const rename: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw), draw);
  if (part === undefined) return undefined;
  const name = /\d|I\b/.test(part.name) ? `${part.name} (Anna)` : `${part.name} 1`;
  const after = withPart(pair.after, part.key, (each) => ({ ...each, name }));
  return edited(pair, after, [{ kind: 'renamed', part: part.key }], part.key);
};

export const reorder: Edit = (pair) => edited(pair, { ...pair.after, parts: [...pair.after.parts].reverse() }, []);

/** A part between two players: phrase by phrase, or the upper and the lower notes of its chords. */
function parted(sheet: Sheet, part: SheetPart, keys: readonly [number, number]): Sheet | undefined {
  const indexOf = new Map(sheet.bars.map(({ id }, index) => [id, index]));
  const byPlace = new Map<string, SheetNote[]>();
  for (const note of part.notes) {
    const place = `${String(note.bar)} ${note.onset.toFixed(3)}`;
    byPlace.set(
      place,
      [...(byPlace.get(place) ?? []), note].sort((a, b) => b.midi - a.midi),
    );
  }
  const chords = [...byPlace.values()];
  const isChordal = chords.filter((chord) => chord.length > 1).length > chords.length / 2;
  const deskOf = (note: SheetNote, chord: readonly SheetNote[]): number =>
    isChordal ? (chord.indexOf(note) < chord.length / 2 ? 0 : 1) : Math.floor((indexOf.get(note.bar) ?? 0) / 2) % 2;
  const desks = [0, 1].map((desk) => chords.flatMap((chord) => chord.filter((note) => deskOf(note, chord) === desk)));
  if (desks.some((notes) => notes.length < 8)) return undefined;
  // A numbered desk would have to be numbered anew with all its neighbours.
  if (/\d|\bI+\b/.test(part.name)) return undefined;
  const parts = sheet.parts.flatMap((each) =>
    each.key === part.key
      ? desks.map((notes, desk) => ({ ...part, key: keys[desk]!, name: `${part.name} ${String(desk + 1)}`, notes }))
      : [each],
  );
  return { ...sheet, parts };
}

export const splitPart: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw, 24), draw);
  if (part === undefined) return undefined;
  const first = freshKey(pair);
  const after = parted(pair.after, part, [first, first + 1]);
  if (after === undefined) return undefined;
  return edited(
    pair,
    after,
    [{ kind: 'split', part: part.key, others: [first, first + 1] }],
    part.key,
    first,
    first + 1,
  );
};

export const joinParts: Edit = (pair, draw) => {
  const part = oneOf(pitchedParts(pair.after, draw, 24), draw);
  const old = pair.before.parts.find(({ key }) => key === part?.key);
  if (part === undefined || old === undefined) return undefined;
  const first = freshKey(pair);
  const before = parted(pair.before, old, [first, first + 1]);
  if (before === undefined) return undefined;
  const claims: readonly Claim[] = [{ kind: 'joined', part: part.key, others: [first, first + 1] }];
  return { before, after: pair.after, claims, touched: [part.key, first, first + 1] };
};
