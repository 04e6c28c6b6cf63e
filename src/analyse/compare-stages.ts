/** What changed from one stage to another of the same piece. */
import type { Stage } from '../model/arrangement.ts';
import type { Finding, StageChange, StageReadings } from '../model/readings.ts';
import type { Bar } from '../model/timeline.ts';
import type { WrittenStage } from '../model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import { alignBars } from './compare/align-bars.ts';
import { barContents } from './compare/bar-content.ts';
import { barPartsOf, notesAmong, raised, type BarNote, type BarPart } from './compare/bar-notes.ts';
import { barOrderOf } from './compare/bar-order.ts';
import { commonShift, followLine, lineEdits, type LevelByBar } from './compare/line-edits.ts';
import { meterDifferences, tempoChanges } from './compare/clock-changes.ts';
import { matchFindings } from './compare/match-findings.ts';
import { matchParts, type PartCodes, type PartMatch } from './compare/match-parts.ts';
import { barsUnder } from './compare/part-edits.ts';
import { withoutFileShift } from './compare/played-timing.ts';
import { pieceShift } from './compare/piece-shift.ts';
import { stageMeasures } from './compare/stage-measures.ts';

export interface ComparedStage {
  readonly stage: Stage;
  readonly written: WrittenStage;
  /** Where given, changes of level count too. */
  readonly readings?: StageReadings;
  /** Where given, it is told which appeared, went and stayed. */
  readonly findings?: readonly Finding[];
}

/** Notes by part, in bars that both stages have, at their places in the later one. */
function settled(
  parts: readonly BarPart[],
  bars: readonly Bar[],
  barOf: (bar: number) => number,
): Map<string, readonly BarNote[]> {
  return new Map(parts.map((item) => [item.part.id, notesAmong(item, bars, barOf)]));
}

/** Places by sixteenths: as coarse as in the alignment of bars. */
function codesOf(parts: readonly BarPart[], notes: ReadonlyMap<string, readonly BarNote[]>): readonly PartCodes[] {
  return parts.map(({ part }) => ({
    part,
    codes: [
      ...new Set(
        (notes.get(part.id) ?? []).map(
          (note) => Math.round((4 * note.start) / DIVISIONS_PER_QUARTER) * 128 + note.midi,
        ),
      ),
    ].sort((a, b) => a - b),
  }));
}

function levelsOf(compared: ComparedStage): LevelByBar {
  const byNumber = new Map(compared.readings?.balance.map((reading) => [reading.bar, reading.partsDb]));
  const { bars } = compared.stage.timeline;
  return (partId, bar) => byNumber.get(bars[bar]?.number ?? Number.NaN)?.[partId];
}

function sortedNumbers(numbers: Iterable<number>): number[] {
  return [...new Set(numbers)].sort((a, b) => a - b);
}

function renamedLines(match: PartMatch, before: Stage, after: Stage): StageChange['parts']['renamed'] {
  const nameBefore = new Map(before.parts.map((part) => [part.id, part.name]));
  const nameAfter = new Map(after.parts.map((part) => [part.id, part.name]));
  return match.lines.flatMap((line) => {
    const [old, anotherOld] = line.before;
    const [fresh, anotherFresh] = line.after;
    if (old === undefined || fresh === undefined || anotherOld !== undefined || anotherFresh !== undefined) return [];
    return old === fresh && nameBefore.get(old) === nameAfter.get(fresh) ? [] : [{ before: old, after: fresh }];
  });
}

/** Numbers of the later stage's bars in which a part of either stage sounds. */
function soundingNumbers(notes: readonly BarNote[], bars: readonly Bar[]): readonly number[] {
  return notes.flatMap((note) =>
    barsUnder(bars, note.start, note.start + note.length).flatMap((bar) => bars[bar]?.number ?? []),
  );
}

/**
 * Compares two stages. Bars are matched by what they hold, parts by id and by where their notes went, notes by pitch and
 * place; so an inserted bar does not change all that follow, and a part under another name is not a new one. A note is the
 * same where it begins and ends within a thirty-second as written or about 50 ms as played.
 */
export function compareStages(before: ComparedStage, after: ComparedStage): StageChange {
  const partsBefore = barPartsOf(before.stage, before.written);
  const partsAfter = barPartsOf(after.stage, after.written);
  const barsBefore = before.stage.timeline.bars;
  const barsAfter = after.stage.timeline.bars;
  const idsBefore = new Set(partsBefore.map(({ part }) => part.id));
  const common = new Set(partsAfter.flatMap(({ part }) => (idsBefore.has(part.id) ? [part.id] : [])));
  const isCommon = (partId: string): boolean => common.has(partId);
  const guess = pieceShift(partsBefore, partsAfter);
  const alignment = alignBars(
    barContents(partsBefore, barsBefore.length, isCommon, guess),
    barContents(partsAfter, barsAfter.length, isCommon, 0),
  );
  const notesBefore = settled(partsBefore, barsAfter, (bar) => alignment.afterOf[bar] ?? -1);
  const notesAfter = settled(partsAfter, barsAfter, (bar) => ((alignment.beforeOf[bar] ?? -1) < 0 ? -1 : bar));
  const guessed = new Map([...notesBefore].map(([id, notes]) => [id, raised(notes, guess)]));
  const match = matchParts(codesOf(partsBefore, guessed), codesOf(partsAfter, notesAfter));
  const lines = match.lines.map((line) => followLine(line, notesBefore, notesAfter));
  const semitones = commonShift(lines);
  const context = {
    semitones,
    barsAfter,
    beforeOf: alignment.beforeOf,
    levelBefore: levelsOf(before),
    levelAfter: levelsOf(after),
    isMeasured: [before, after].every(({ readings }) => (readings?.balance.length ?? 0) > 0),
  };
  const order = new Map(after.stage.parts.map((part, index) => [part.id, index]));
  const edits = withoutFileShift(
    lines.flatMap((line) => lineEdits(line, context)),
    lines.length,
  ).toSorted((a, b) => (order.get(a.partId) ?? 0) - (order.get(b.partId) ?? 0));
  const music = edits.filter((edit) => edit.kind !== 'timing');
  const changed = [...new Set(music.map((edit) => edit.partId))].map((partId) => ({
    partId,
    bars: sortedNumbers(music.flatMap((edit) => (edit.partId === partId ? edit.bars : []))),
  }));
  const meter = meterDifferences(barsBefore, barsAfter, alignment.beforeOf);
  const barOrder = barOrderOf(alignment, barsBefore, barsAfter);
  const whole = new Map(partsAfter.map((item) => [item.part.id, item.notes]));
  const successor = new Map(match.lines.flatMap((line) => line.before.map((id) => [id, line.after[0] ?? id] as const)));
  const indexOf = new Map(barsBefore.map((bar, index) => [bar.number, index]));
  return {
    before: before.stage.id,
    after: after.stage.id,
    parts: {
      added: match.added,
      removed: match.removed,
      changed,
      renamed: renamedLines(match, before.stage, after.stage),
      split: match.lines.flatMap(({ before: [one, another], after: into }) =>
        one !== undefined && another === undefined && into.length > 1 ? [{ before: one, after: into }] : [],
      ),
      joined: match.lines.flatMap(({ before: from, after: [one] }) =>
        one !== undefined && from.length > 1 ? [{ before: from, after: one }] : [],
      ),
    },
    bars: sortedNumbers([
      ...changed.flatMap((item) => item.bars),
      ...match.added.flatMap((id) => soundingNumbers(whole.get(id) ?? [], barsAfter)),
      ...match.removed.flatMap((id) => soundingNumbers(notesBefore.get(id) ?? [], barsAfter)),
      ...barOrder.inserted,
      ...meter.flatMap(({ from, to }) =>
        barsAfter.flatMap(({ number }) => (number >= from && number <= to ? [number] : [])),
      ),
    ]),
    semitones,
    barOrder,
    tempo: tempoChanges(barsBefore, barsAfter, alignment.beforeOf),
    meter,
    edits,
    findings: matchFindings(before.findings ?? [], after.findings ?? [], {
      partId: (id) => successor.get(id) ?? id,
      bar: (bar) => barsAfter[alignment.afterOf[indexOf.get(bar) ?? -1] ?? -1]?.number,
    }),
    measures: {
      before: stageMeasures(before.stage, before.written, before.readings),
      after: stageMeasures(after.stage, after.written, after.readings),
    },
  };
}
