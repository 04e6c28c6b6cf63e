/** What changed from one stage to the next. */
import type { Stage } from '../model/arrangement.ts';
import type { StageChange, StageReadings } from '../model/readings.ts';
import { barIndexAt } from '../model/timeline.ts';
import type { Timeline } from '../model/timeline.ts';
import type { WrittenNote, WrittenPart, WrittenStage } from '../model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';

export interface ComparedStage {
  readonly stage: Stage;
  readonly written: WrittenStage;
  /** Where given, large changes of level count too. */
  readonly readings?: StageReadings;
}

/** Notes moved or stretched by less than a thirty-second are the same notes. */
const TOLERANCE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
/** A part whose level in a bar moves by this much has changed though its notes have not: about one dynamic grade. */
const LEVEL_CHANGE_DB = 6;

function addBars(into: Set<number>, timeline: Timeline, fromDivisions: number, toDivisions: number): void {
  const { bars } = timeline;
  const first = barIndexAt(bars, fromDivisions / DIVISIONS_PER_QUARTER);
  const last = barIndexAt(bars, (toDivisions - 1) / DIVISIONS_PER_QUARTER);
  for (let index = Math.max(0, first); index <= last; index++) {
    const bar = bars[index];
    if (bar !== undefined) into.add(bar.number);
  }
}

function byPitch(part: WrittenPart): ReadonlyMap<number, readonly WrittenNote[]> {
  const groups = new Map<number, WrittenNote[]>();
  for (const note of part.notes) {
    const group = groups.get(note.midi);
    if (group === undefined) groups.set(note.midi, [note]);
    else group.push(note);
  }
  for (const group of groups.values()) group.sort((a, b) => a.start - b.start);
  return groups;
}

/** Adds the bars in which the notes of one pitch differ. Both lists are sorted by start. */
function compareNotes(
  before: readonly WrittenNote[],
  after: readonly WrittenNote[],
  timelines: { readonly before: Timeline; readonly after: Timeline },
  bars: Set<number>,
): void {
  let old = 0;
  let fresh = 0;
  while (old < before.length || fresh < after.length) {
    const one = before[old];
    const other = after[fresh];
    if (one !== undefined && other !== undefined && Math.abs(one.start - other.start) < TOLERANCE_DIVISIONS) {
      const oneEnd = one.start + one.length;
      const otherEnd = other.start + other.length;
      if (Math.abs(oneEnd - otherEnd) >= TOLERANCE_DIVISIONS) {
        addBars(
          bars,
          oneEnd > otherEnd ? timelines.before : timelines.after,
          Math.min(oneEnd, otherEnd),
          Math.max(oneEnd, otherEnd),
        );
      }
      old++;
      fresh++;
    } else if (other === undefined || (one !== undefined && one.start < other.start)) {
      if (one !== undefined) addBars(bars, timelines.before, one.start, one.start + one.length);
      old++;
    } else {
      addBars(bars, timelines.after, other.start, other.start + other.length);
      fresh++;
    }
  }
}

function changedNoteBars(before: WrittenPart, after: WrittenPart, old: Timeline, fresh: Timeline): Set<number> {
  const bars = new Set<number>();
  const groupsBefore = byPitch(before);
  const groupsAfter = byPitch(after);
  for (const midi of new Set([...groupsBefore.keys(), ...groupsAfter.keys()])) {
    compareNotes(groupsBefore.get(midi) ?? [], groupsAfter.get(midi) ?? [], { before: old, after: fresh }, bars);
  }
  return bars;
}

/** Bars in which a part is louder or softer by a dynamic grade while sounding in both stages. */
function changedLevelBars(partId: string, before: StageReadings, levels: ReadonlyMap<number, number>): number[] {
  return before.balance.flatMap(({ bar, partsDb }) => {
    const oldDb = partsDb[partId];
    const newDb = levels.get(bar);
    return oldDb !== undefined && newDb !== undefined && Math.abs(oldDb - newDb) >= LEVEL_CHANGE_DB ? [bar] : [];
  });
}

function levelsByBar(readings: StageReadings, partId: string): ReadonlyMap<number, number> {
  return new Map(
    readings.balance.flatMap(({ bar, partsDb }) => {
      const levelDb = partsDb[partId];
      return levelDb === undefined ? [] : [[bar, levelDb] as const];
    }),
  );
}

function soundingBars(part: WrittenPart | undefined, timeline: Timeline): Set<number> {
  const bars = new Set<number>();
  for (const note of part?.notes ?? []) addBars(bars, timeline, note.start, note.start + note.length);
  return bars;
}

function sortedNumbers(numbers: Iterable<number>): number[] {
  return [...numbers].sort((a, b) => a - b);
}

/**
 * Compares two stages part by part (by id) and bar by bar (by number). A bar has changed where a note begins, sounds or
 * ends differently by a thirty-second or more, or where the level moved by 6 dB or more. Bars of an added part are
 * counted as the new stage numbers them, of a removed one as the old stage does.
 */
export function compareStages(before: ComparedStage, after: ComparedStage): StageChange {
  const writtenBefore = new Map(before.written.parts.map((part) => [part.partId, part]));
  const writtenAfter = new Map(after.written.parts.map((part) => [part.partId, part]));
  const idsBefore = before.stage.parts.map((part) => part.id);
  const idsAfter = after.stage.parts.map((part) => part.id);
  const added = idsAfter.filter((id) => !idsBefore.includes(id));
  const removed = idsBefore.filter((id) => !idsAfter.includes(id));
  const old = before.stage.timeline;
  const fresh = after.stage.timeline;
  const all = new Set<number>();
  for (const id of added) for (const bar of soundingBars(writtenAfter.get(id), fresh)) all.add(bar);
  for (const id of removed) for (const bar of soundingBars(writtenBefore.get(id), old)) all.add(bar);
  const changed = idsAfter
    .filter((id) => idsBefore.includes(id))
    .flatMap((partId) => {
      const empty: WrittenPart = { partId, notes: [], doubtfulShare: 0 };
      const bars = changedNoteBars(writtenBefore.get(partId) ?? empty, writtenAfter.get(partId) ?? empty, old, fresh);
      if (before.readings !== undefined && after.readings !== undefined) {
        const levels = levelsByBar(after.readings, partId);
        for (const bar of changedLevelBars(partId, before.readings, levels)) bars.add(bar);
      }
      for (const bar of bars) all.add(bar);
      return bars.size === 0 ? [] : [{ partId, bars: sortedNumbers(bars) }];
    });
  return {
    before: before.stage.id,
    after: after.stage.id,
    parts: { added, removed, changed },
    bars: sortedNumbers(all),
  };
}
