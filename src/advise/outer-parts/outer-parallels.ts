/**
 * Parallel fifths and octaves of the framing pair: the tune on top and the real bass, heard through a texture of any number of parts, which is why a
 * fuller one is judged by them (common practice, no source). What keeps a place out is ours.
 */
import type { Parallel } from '../../analyse/harmony/parallels.ts';
import { FULL_DOUBLINGS } from '../../analyse/lines/doublings.ts';
import type { PlacedNote } from '../../analyse/placed-notes/placed-notes.ts';
import type { Slice, SoundingNote } from '../../analyse/placed-notes/slices.ts';
import { startingWithin } from '../../model/sorted-search.ts';
import type { RuleContext } from '../rule.ts';

/** So many pitch classes make a chord: of two lines alone, over a held tone, or in unison with all others, there is no harmony to be lost. */
const WHOLE_CHORD = 3;

/** A bass lies under middle C: over it winds play among themselves, and the upper of two doubles the lower at the octave as a colour. */
const HIGHEST_BASS = 59;
/** Wider leaps of both are those of a cadence that all play together; open to the ear are fifths as far as roots go. */
const WIDEST = { fifths: 5, octaves: 4 } as const;
/** A note that is struck again lasts from its first stroke, looked for so far back in quarters. */
const STRUCK_QUARTERS = 16;

/** Who has the tune and who the bass, several where they are in unison. */
interface Frame {
  readonly tune: readonly SoundingNote[];
  readonly bass: readonly SoundingNote[];
}

const isNear = (one: number, other: number): boolean => Math.abs(one - other) < 1e-6;

/** Tune and bass of a slice; undefined where nobody leads, or somebody else than doublings lies over the tune. */
function frameOf({ barIndex, sounding }: Slice, { parts, front }: RuleContext): Frame | undefined {
  const pitched = sounding.filter(({ partIndex }) => parts[partIndex]?.part.family !== 'percussion');
  const leads = pitched.filter(({ partIndex }) => front[barIndex]?.has(parts[partIndex]?.part.id ?? '') === true);
  const [top, low] = [leads.at(-1)?.note.midi, pitched[0]?.note.midi];
  if (top === undefined || low === undefined || low > HIGHEST_BASS) return undefined;
  if (pitched.some(({ note }) => note.midi > top && (note.midi - top) % 12 !== 0)) return undefined;
  return {
    tune: leads.filter(({ note }) => note.midi === top),
    bass: pitched.filter(({ note }) => note.midi === low),
  };
}

/** The step of the first part that has both notes. */
function stepOfOne(
  from: readonly SoundingNote[],
  to: readonly SoundingNote[],
): readonly [SoundingNote, SoundingNote] | undefined {
  for (const before of from) {
    const after = to.find(({ partIndex, note }) => partIndex === before.partIndex && note !== before.note);
    if (after !== undefined) return [before, after];
  }
  return undefined;
}

function classesOf({ sounding }: Slice, { parts }: RuleContext): ReadonlySet<number> {
  return new Set(
    sounding.flatMap(({ note, partIndex }) => (parts[partIndex]?.part.family === 'percussion' ? [] : [note.midi % 12])),
  );
}

/** All tones go the same way by the same interval: a mixture, planing. */
function isPlaned(from: ReadonlySet<number>, to: ReadonlySet<number>, by: number): boolean {
  return from.size === to.size && [...from].every((tone) => to.has((((tone + by) % 12) + 12) % 12));
}

/** True where a part has begun nothing but this pitch since another struck its note, and began it with that. */
function isStruckWith(note: PlacedNote, partIndex: number, other: PlacedNote, { parts }: RuleContext): boolean {
  const [from, to] = [other.startQuarters, note.startQuarters];
  if (isNear(from, to)) return true;
  if (from > to || to - from > STRUCK_QUARTERS) return false;
  const since = startingWithin(parts[partIndex]?.notes ?? [], from - 1e-6, to + 1e-6);
  const isHeld = since.every(({ midi }) => midi === note.midi);
  return isHeld && since.some(({ startQuarters }) => isNear(startQuarters, from));
}

/** The way from one frame to the next where both are struck anew on both chords, by the same part each, in one direction, and keep a fifth or an octave. */
function stepOf(from: Frame, to: Frame, context: RuleContext): Omit<Parallel, 'barIndex'> | undefined {
  const [tune, bass] = [stepOfOne(from.tune, to.tune), stepOfOne(from.bass, to.bass)];
  if (tune === undefined || bass === undefined || tune[1].partIndex === bass[1].partIndex) return undefined;
  const [before, after, beneath, under] = [tune[0].note, tune[1].note, bass[0].note, bass[1].note];
  if (!isNear(after.startQuarters, under.startQuarters)) return undefined;
  const isTogether =
    isStruckWith(before, tune[0].partIndex, beneath, context) ||
    isStruckWith(beneath, bass[0].partIndex, before, context);
  const [rise, climb] = [after.midi - before.midi, under.midi - beneath.midi];
  if (!isTogether || rise * climb <= 0) return undefined;
  const interval = (after.midi - under.midi) % 12;
  if ((before.midi - beneath.midi) % 12 !== interval || (interval !== 0 && interval !== 7)) return undefined;
  const kind = interval === 7 ? 'fifths' : 'octaves';
  if (Math.max(Math.abs(rise), Math.abs(climb)) > WIDEST[kind]) return undefined;
  return { kind, parts: [tune[1].partIndex, bass[1].partIndex], from: [before, beneath], to: [after, under] };
}

/** True where a reading says that the two double each other at the unison or octave in the bar. */
function areDoubled(indices: readonly number[], barIndex: number, { parts, readings, stage }: RuleContext): boolean {
  const bar = stage.timeline.bars[barIndex]?.number ?? 0;
  const ids = indices.map((index) => parts[index]?.part.id ?? '');
  return readings.doublings.some(
    ({ interval, partIds, from, to }) =>
      FULL_DOUBLINGS.includes(interval) && from <= bar && to >= bar && ids.every((id) => partIds.includes(id)),
  );
}

/** Every step of tune and bass from one fifth, or octave, to the next among others that have tones of their own; the tune is the first of the two. */
export function outerParallelsOf(context: RuleContext): readonly Parallel[] {
  const { slices } = context;
  return slices.flatMap((slice, index): readonly Parallel[] => {
    const before = slices[index - 1];
    if (before === undefined || !isNear(before.endQuarters, slice.startQuarters)) return [];
    const [from, to] = [frameOf(before, context), frameOf(slice, context)];
    const step = from === undefined || to === undefined ? undefined : stepOf(from, to, context);
    if (step === undefined || !isNear(step.to[0].startQuarters, slice.startQuarters)) return [];
    if (areDoubled(step.parts, slice.barIndex, context)) return [];
    const [had, has] = [classesOf(before, context), classesOf(slice, context)];
    if (Math.min(had.size, has.size) < WHOLE_CHORD) return [];
    if (isPlaned(had, has, step.to[1].midi - step.from[1].midi)) return [];
    return [{ ...step, barIndex: slice.barIndex }];
  });
}
