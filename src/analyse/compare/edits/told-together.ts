/** What two edits have in common is told once: where a line was given, doubled or begins later, notes came and went for that reason. */
import { groupedBy } from '../../../model/grouped.ts';
import type { GivenPassage, LaterEntry, PartEdit } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import type { LazyNotes } from '../bars/bar-notes.ts';
import type { IndexedDoubling, IndexedPassage, PartFate } from './passages.ts';
import { barsUnderNote, barsUnderNotes } from '../matches/part-sides.ts';

/** Indices of bars in which a part of the later stage differs because of what is told elsewhere. */
export interface ToldBars {
  readonly given: ReadonlyMap<string, ReadonlySet<number>>;
  readonly doubled: ReadonlyMap<string, ReadonlySet<number>>;
}

/** Bars of a passage, and those that its last notes are held into where nothing else differs. */
function withHeldOver(bars: readonly number[], fate: PartFate, barsAfter: readonly Bar[]): readonly number[] {
  const isIn = new Set(bars);
  const differing = new Set([...fate.lost, ...fate.gained].map(({ bar }) => bar));
  const held = [...fate.lost, ...fate.gained]
    .filter(({ bar }) => isIn.has(bar))
    .flatMap((note) => barsUnderNote(barsAfter, note));
  return [...bars, ...held.filter((bar) => !differing.has(bar))];
}

/** Gathers the bars that passages and doublings explain, by part of the later stage. */
export function toldBars(
  fates: readonly PartFate[],
  passages: readonly IndexedPassage[],
  doublings: readonly IndexedDoubling[],
  barsAfter: readonly Bar[],
): ToldBars {
  const given = new Map<string, Set<number>>();
  const doubled = new Map<string, Set<number>>();
  const add = (to: Map<string, Set<number>>, fate: PartFate | undefined, bars: readonly number[]): void => {
    if (fate?.newId === undefined) return;
    const known = to.get(fate.newId) ?? new Set<number>();
    for (const bar of withHeldOver(bars, fate, barsAfter)) known.add(bar);
    to.set(fate.newId, known);
  };
  const wasPart = (id: string): PartFate | undefined => fates.find(({ oldId }) => oldId === id);
  const isPart = (id: string): PartFate | undefined => fates.find(({ newId }) => newId === id);
  for (const { from, to, bars } of passages) {
    // What the part that gave it plays in its place is told.
    const giver = wasPart(from);
    const renewed = new Set(giver?.gained.map(({ bar }) => bar));
    add(
      given,
      giver,
      bars.filter((bar) => !renewed.has(bar)),
    );
    add(given, isPart(to), bars);
  }
  for (const { partId, bars } of doublings) add(doubled, isPart(partId), bars);
  return { given, doubled };
}

interface IndexedEntry extends LaterEntry {
  /** Indices of the bars that are silent now. */
  readonly bars: readonly number[];
}

/**
 * Bars of so many, by index, in which notes began and none begins now, and before which there was nothing and is nothing: into a bar at which a
 * line began nothing was held.
 */
function silentSince(before: LazyNotes, after: LazyNotes, barCount: number): readonly number[] {
  const { counts: olds } = before.byBar();
  const { counts: news } = after.byBar();
  const silent: number[] = [];
  for (let bar = 0; bar < barCount; bar++) {
    const isSilent = (news[bar] ?? 0) === 0 && (olds[bar] ?? 0) > 0;
    if (isSilent && (news[bar - 1] ?? 0) + (olds[bar - 1] ?? 0) === 0) silent.push(bar);
  }
  return silent;
}

/** Lines that begin later than they did: what came first is silent now, and before it there was nothing. */
export function laterEntries(
  fates: readonly PartFate[],
  isTold: (partId: string, bar: number) => boolean,
  barsAfter: readonly Bar[],
  beforeOf: readonly number[],
): readonly IndexedEntry[] {
  const found: IndexedEntry[] = [];
  for (const { oldId, newId, before, after, lost } of fates) {
    if (oldId === undefined || newId === undefined || lost.length === 0) continue;
    const silent = silentSince(before, after, barsAfter.length);
    if (silent.length === 0) continue;
    const sounds = barsUnderNotes(after.byBar(), barsAfter);
    const sounded = barsUnderNotes(before.byBar(), barsAfter);
    const isGone = (at: number): boolean => sounded.has(at) && !sounds.has(at) && !isTold(newId, at);
    for (const index of silent) {
      if (sounds.has(index) || !sounded.has(index)) continue;
      // After a bar that came from elsewhere the line did not begin: it went on.
      const isSeam = index > 0 && (beforeOf[index - 1] ?? -1) !== (beforeOf[index] ?? -1) - 1;
      if (isSeam || !isGone(index) || sounded.has(index - 1) || sounds.has(index - 1)) continue;
      let end = index;
      while (isGone(end)) end++;
      const bar = barsAfter[index];
      const next = barsAfter[end];
      if (bar === undefined || next === undefined || !sounded.has(end) || !sounds.has(end)) continue;
      const bars = Array.from({ length: end - index }, (_, place) => index + place);
      found.push({ partId: newId, before: bar.number, after: next.number, bars });
    }
  }
  return found;
}

const OF_NOTES: ReadonlySet<PartEdit['kind']> = new Set([
  'extended',
  'silenced',
  'rewritten',
  'rhythm',
  'moved',
  'transposed',
]);

const OF_OWN_NOTES: ReadonlySet<PartEdit['kind']> = new Set(['extended', 'rewritten', 'rhythm', 'moved']);

/** What cannot have been done to somebody who was not there before. */
const OF_OTHERS: ReadonlySet<PartEdit['kind']> = new Set(['silenced', 'timing', 'balance', 'muted', 'unmuted']);

/** Of parts that were set apart from one in unison: the bars in which they have notes of their own as one edit, and no bar in which they rest. */
export function ownNotesTogether(edits: readonly PartEdit[], setApart: ReadonlySet<string>): readonly PartEdit[] {
  if (setApart.size === 0) return edits;
  const isOwn = ({ partId, kind }: PartEdit): boolean => setApart.has(partId) && OF_OWN_NOTES.has(kind);
  const own = groupedBy(edits.filter(isOwn), ({ partId }) => partId);
  return [
    ...edits.filter((edit) => !isOwn(edit) && !(setApart.has(edit.partId) && OF_OTHERS.has(edit.kind))),
    ...[...own].map(([partId, alike]): PartEdit => {
      const bars = [...new Set(alike.flatMap((edit) => edit.bars))].sort((a, b) => a - b);
      return { partId, kind: 'rewritten', bars };
    }),
  ];
}

/** Parts the bars of edits into those that are told with a passage, a doubling or an entry, and the rest. */
export function markTold(
  edits: readonly PartEdit[],
  told: ToldBars,
  entries: readonly IndexedEntry[],
  barsAfter: readonly Bar[],
): readonly PartEdit[] {
  const numbers = (bars: Iterable<number>): ReadonlySet<number> =>
    new Set([...bars].flatMap((bar) => barsAfter[bar]?.number ?? []));
  const split = edits.flatMap((edit): PartEdit[] => {
    if (!OF_NOTES.has(edit.kind)) return [edit];
    const isAlone = !told.given.has(edit.partId) && !told.doubled.has(edit.partId);
    if (isAlone && edit.bars.length > 0 && !entries.some(({ partId }) => partId === edit.partId)) return [edit];
    // An octave that stands besides a doubling is a change of its own; with a line that was given it is part of that.
    const isOctave = edit.kind === 'transposed';
    const ways: readonly (readonly [NonNullable<PartEdit['toldWith']>, ReadonlySet<number>])[] = [
      ['given', numbers(told.given.get(edit.partId) ?? [])],
      ['doubling', numbers(isOctave ? [] : (told.doubled.get(edit.partId) ?? []))],
      ['entry', numbers(entries.flatMap(({ partId, bars }) => (partId === edit.partId ? bars : [])))],
    ];
    const parted: PartEdit[] = [];
    let left = edit.bars;
    for (const [toldWith, bars] of ways) {
      const own = left.filter((bar) => bars.has(bar));
      if (own.length > 0) parted.push({ ...edit, bars: own, toldWith });
      left = left.filter((bar) => !bars.has(bar));
    }
    return left.length === 0 ? parted : [{ ...edit, bars: left }, ...parted];
  });
  return withoutChanceOctaves(split);
}

/** Who was given a line has it in all its bars, also where a note of it was there before. */
export function withWholeLines(edits: readonly PartEdit[], given: readonly GivenPassage[]): readonly PartEdit[] {
  return given.reduce((all, { to, bars }) => {
    const own = all.filter(({ partId }) => partId === to);
    const first = own.find(({ kind, toldWith, bars: some }) =>
      kind === 'rewritten' && toldWith === 'given' ? some.some((bar) => bars.includes(bar)) : false,
    );
    const left = bars.filter((bar) => !own.some((edit) => OF_NOTES.has(edit.kind) && edit.bars.includes(bar)));
    if (first === undefined || left.length === 0) return all;
    const whole = { ...first, bars: [...first.bars, ...left].sort((a, b) => a - b) };
    return all.map((edit) => (edit === first ? whole : edit));
  }, edits);
}

/** Whoever takes over a line plays other notes: that some of them stand an octave from the old ones is chance where other bars are rewritten. */
function withoutChanceOctaves(edits: readonly PartEdit[]): readonly PartEdit[] {
  const isGiven = (edit: PartEdit, kind: PartEdit['kind']): boolean => edit.toldWith === 'given' && edit.kind === kind;
  return edits.flatMap((edit): PartEdit[] => {
    const same = edits.filter(({ partId }) => partId === edit.partId);
    const octaves = same.filter((other) => isGiven(other, 'transposed'));
    const [written] = same.filter((other) => isGiven(other, 'rewritten'));
    if (written === undefined || octaves.length === 0) return [edit];
    if (octaves.includes(edit)) return [];
    return edit === written
      ? [{ ...edit, bars: [edit, ...octaves].flatMap(({ bars }) => bars).sort((a, b) => a - b) }]
      : [edit];
  });
}
