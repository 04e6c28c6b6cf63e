/** What changed from one stage to another of the same piece. */
import { barsAsShaped } from './level/two-scales.ts';
import type { Part, Stage } from '../model/music/arrangement.ts';
import type { Finding, StageChange, StageReadings } from '../model/readings/readings.ts';
import type { Bar } from '../model/music/timeline.ts';
import type { WrittenNotes } from '../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../model/music/written.ts';
import { alignBars } from './compare/bars/align-bars.ts';
import { barContents, movedContents } from './compare/bars/bar-content.ts';
import { listedOnce, raised, type BarNote } from './compare/bars/bar-notes.ts';
import { barPartsOf, outside, type BarPart, type PartNotes } from './compare/bars/bar-parts.ts';
import { repeatedBars } from './compare/bars/repeated-bars.ts';
import { barOrderOf } from './compare/bars/bar-order.ts';
import {
  commonShift,
  followLine,
  lineEdits,
  matchLines,
  playedAnew,
  type LevelByBar,
} from './compare/edits/line-edits.ts';
import { gainWithoutVolumeDb } from './level/level-model.ts';
import { keepsOrder, notesLike, type PlacedNotes } from './compare/edits/notes-like.ts';
import { groupedBy } from '../model/grouped.ts';
import { onceEach } from '../model/once-each.ts';
import { chordChanges } from './compare/edits/chord-changes.ts';
import { barPairs, meterDifferences, tempoChanges } from './compare/edits/clock-changes.ts';
import { doneAbout } from './compare/matches/done-about.ts';
import { findingCauses } from './compare/matches/finding-causes.ts';
import { matchFindings } from './compare/matches/match-findings.ts';
import { comparedIds, matchParts, type PartCodes, type PartMatch } from './compare/matches/match-parts.ts';
import { barsUnder, soundingBars } from './compare/matches/part-sides.ts';
import { withoutFileShift } from './compare/edits/played-timing.ts';
import { barShifts, likelyShifts } from './compare/edits/piece-shift.ts';
import { givenPassages, newDoublings, type PartFate } from './compare/edits/passages.ts';
import { withRewrittenLevels } from './compare/edits/rewritten-levels.ts';
import { rebar } from './compare/bars/rebar.ts';
import { laterEntries, markTold, ownNotesTogether, toldBars, withWholeLines } from './compare/edits/told-together.ts';
import { stageMeasures } from './compare/stage-measures.ts';

export interface ComparedStage {
  readonly stage: Stage;
  readonly written: WrittenNotes;
  /** Where given, changes of level count too. */
  readonly readings?: StageReadings;
  /** Where given, it is told which appeared, went and stayed. */
  readonly findings?: readonly Finding[];
}

/** Notes of the later stage by part, in bars that both stages have. */
function settled(parts: readonly BarPart[], beforeOf: readonly number[]): Map<string, PartNotes> {
  const fresh = beforeOf.flatMap((before, bar) => (before < 0 ? [bar] : []));
  return new Map(parts.map((item) => [item.part.id, outside(item, fresh)]));
}

/** Places by sixteenths: as coarse as in the alignment of bars. */
const codesOfNotes = onceEach((notes: readonly BarNote[]): readonly number[] =>
  [...new Set(notes.map((note) => Math.round((4 * note.start) / DIVISIONS_PER_QUARTER) * 128 + note.midi))].sort(
    (a, b) => a - b,
  ),
);

function codesOf(
  parts: readonly BarPart[],
  notesOf: (id: string) => readonly BarNote[] | undefined,
): readonly PartCodes[] {
  return parts.map(({ part }) => ({ part, codes: () => codesOfNotes(notesOf(part.id) ?? []) }));
}

const NO_NOTES = listedOnce(() => []);

const NO_LEVELS = new Float64Array(0);

const levelsOf = onceEach((readings: StageReadings) =>
  onceEach((bars: readonly Bar[]): LevelByBar => {
    const byNumber = new Map(barsAsShaped(readings).map((reading) => [reading.bar, reading.partsDb]));
    const byBar = bars.map(({ number }) => byNumber.get(number));
    const known = new Map<string, Float64Array>();
    return (partId) => {
      const found = known.get(partId);
      if (found !== undefined) return found;
      const made = new Float64Array(byBar.length);
      for (let bar = 0; bar < made.length; bar++) made[bar] = byBar[bar]?.[partId] ?? Infinity;
      known.set(partId, made);
      return made;
    };
  }),
);

/** Estimated levels of a stage by index of these bars. */
function levelsIn({ readings }: ComparedStage, bars: readonly Bar[]): LevelByBar {
  return readings === undefined ? () => NO_LEVELS : levelsOf(readings)(bars);
}

const silentVolumeOf = onceEach(gainWithoutVolumeDb);

/**
 * The levels of the earlier stage as they would be estimated beside the later one: where one of the two states a volume somewhere and the other
 * nowhere, a channel that says nothing has the reset value in both.
 */
function besideLater(levels: LevelByBar, before: Stage, after: Stage): LevelByBar {
  const apart = silentVolumeOf(after) - silentVolumeOf(before);
  return apart === 0 ? levels : (partId) => levels(partId).map((level) => level + apart);
}

/** Each whole number once, ascending. */
function sortedNumbers(numbers: readonly number[]): number[] {
  // A typed array sorts numbers without a function that compares them.
  const sorted = new Int32Array(numbers).sort();
  const found: number[] = [];
  for (let at = 0; at < sorted.length; at++) {
    const number = sorted[at] ?? 0;
    if (at === 0 || number !== sorted[at - 1]) found.push(number);
  }
  return found;
}

/** True where nothing but the company of other parts lets the same track be taken for another instrument. */
function isReadOtherwise(before: Part | undefined, after: Part | undefined): boolean {
  return before?.name === after?.name && before?.tracks[0]?.program === after?.tracks[0]?.program;
}

function renamedLines(
  match: PartMatch,
  before: Stage,
  after: Stage,
  earlierOf: (id: string) => string,
): StageChange['parts']['renamed'] {
  const divided = new Set(match.divided.flatMap((line) => line.before));
  const partBefore = new Map(before.parts.map((part) => [part.id, part]));
  const partAfter = new Map(after.parts.map((part) => [part.id, part]));
  return match.lines.flatMap((line) => {
    const [one, anotherOld] = line.before;
    const [fresh, anotherFresh] = line.after;
    if (one === undefined || fresh === undefined || anotherOld !== undefined || anotherFresh !== undefined) return [];
    if (divided.has(one)) return [];
    const old = earlierOf(one);
    const [was, is] = [partBefore.get(old), partAfter.get(fresh)];
    if (old === fresh ? was?.name === is?.name : isReadOtherwise(was, is)) return [];
    return [{ before: old, after: fresh }];
  });
}

/** Numbers of the later stage's bars in which a part of either stage sounds. */
function soundingNumbers(notes: readonly BarNote[], bars: readonly Bar[]): readonly number[] {
  return notes.flatMap((note) =>
    barsUnder(bars, note.start, note.start + note.length).flatMap((bar) => bars[bar]?.number ?? []),
  );
}

/** True where a part sounds in a bar, given by its number. */
function soundsIn(part: BarPart | undefined, bars: readonly Bar[], number: number): boolean {
  const index = bars.findIndex((bar) => bar.number === number);
  return part !== undefined && soundingBars(part.byBar(), bars).has(index);
}

/**
 * Compares two stages. Bars are matched by what they hold, parts by id and by where their notes went, notes by pitch and
 * place; so an inserted bar does not change all that follow, and a part under another name is not a new one. A note is the
 * same where it begins and ends within a thirty-second as written or about 50 ms as played.
 */
export function compareStages(before: ComparedStage, after: ComparedStage): StageChange {
  const partsAfter = barPartsOf(after.stage, after.written);
  const { comparedOf, earlierOf } = comparedIds(before.stage.parts, after.stage.parts);
  const itsParts = barPartsOf(before.stage, before.written);
  // The very list where no part is compared under another id: what was made of it holds.
  const ownPartsBefore = itsParts.every(({ part }) => comparedOf(part.id) === part.id)
    ? itsParts
    : itsParts.map((item) => ({ ...item, part: { ...item.part, id: comparedOf(item.part.id) } }));
  const barsAfter = after.stage.timeline.bars;
  const idsBefore = new Set(ownPartsBefore.map(({ part }) => part.id));
  const common = partsAfter.flatMap(({ part }) => (idsBefore.has(part.id) ? [part.id] : []));
  const barred = rebar(
    { timeline: before.stage.timeline, parts: ownPartsBefore },
    { timeline: after.stage.timeline, parts: partsAfter },
    common,
  );
  const { bars: barsBefore, parts: partsBefore } = barred;
  const candidates = likelyShifts(partsBefore, partsAfter);
  const contents = barContents(partsBefore, barsBefore, common);
  const alignment = alignBars(
    contents,
    barContents(partsAfter, barsAfter, common),
    candidates.map((semitones) => movedContents(contents, partsBefore, common, semitones)),
  );
  const notesAfter = settled(partsAfter, alignment.beforeOf);
  const later = new Map(partsAfter.map((item) => [item.part.id, item]));
  const isInOrder = keepsOrder(alignment);
  const unraised = new Map(
    partsBefore.map((item): [string, PlacedNotes] => {
      const { id } = item.part;
      return [id, notesLike(item, later.get(id), notesAfter.get(id), barsAfter, alignment, isInOrder)];
    }),
  );
  const shifts = barShifts(unraised, notesAfter, barsAfter, candidates);
  const isShifted = shifts.ofBar.some((shift) => shift !== 0);
  const notesBefore = isShifted
    ? new Map(
        [...unraised].map(([id, placed]): [string, PlacedNotes] => {
          const notes = listedOnce(() => raised(placed.notes(), (bar) => shifts.ofBar[bar] ?? 0));
          return [id, { ...notes, part: placed.part }];
        }),
      )
    : unraised;
  const match = matchParts(
    codesOf(partsBefore, (id) => notesBefore.get(id)?.notes()),
    codesOf(partsAfter, (id) => notesAfter.get(id)?.notes()),
  );
  const lines = match.lines.map((line) => followLine(line, notesBefore, notesAfter));
  const semitones = commonShift(lines);
  const isEstimated = [before, after].every(({ readings }) => (readings?.balance.length ?? 0) > 0);
  const levelBefore = besideLater(levelsIn(before, barsBefore), before.stage, after.stage);
  const levelAfter = levelsIn(after, barsAfter);
  const context = {
    semitones,
    isShifted: isShifted || semitones !== 0,
    barsBefore,
    barsAfter,
    shiftOf: (bar: number) => shifts.ofBar[bar] ?? 0,
    beforeOf: alignment.beforeOf,
    afterOf: alignment.afterOf,
    levelBefore: (partId: string) => levelBefore(earlierOf(partId)),
    levelAfter,
    // A bar that was parted is measured as a whole in the one stage and by halves in the other.
    isMeasured: (bar: number) => isEstimated && !barred.isRebarred.has(alignment.beforeOf[bar] ?? -1),
  };
  const matched = matchLines(lines, context);
  const isAnew = playedAnew(matched);
  const fates: readonly PartFate[] = [
    ...matched.map(({ found: { line, after: news }, before: olds, match: { lost, gained } }): PartFate => ({
      oldId: line.before.length === 1 ? line.before[0] : undefined,
      newId: line.after.length === 1 ? line.after[0] : undefined,
      before: olds,
      after: news,
      lost,
      gained,
    })),
    ...match.removed.map((oldId): PartFate => {
      const before = notesBefore.get(oldId) ?? NO_NOTES;
      return { oldId, newId: undefined, before, after: NO_NOTES, lost: before.notes(), gained: [] };
    }),
    ...match.added.map((newId): PartFate => {
      const after = notesAfter.get(newId) ?? NO_NOTES;
      return { oldId: undefined, newId, before: NO_NOTES, after, lost: [], gained: after.notes() };
    }),
  ];
  const passages = givenPassages(fates);
  const isGiven = (partId: string, bar: number): boolean =>
    passages.some(({ to, bars }) => to === partId && bars.includes(bar));
  const doublings = newDoublings(fates, isGiven);
  const told = toldBars(fates, passages, doublings, barsAfter);
  const numbers = (bars: readonly number[]): readonly number[] => bars.flatMap((bar) => barsAfter[bar]?.number ?? []);
  const order = new Map(after.stage.parts.map((part, index) => [part.id, index]));
  // Who was set apart from a part in unison was not there before: nothing of theirs is gone, and what else they play is theirs.
  const setApart = new Set(match.divided.flatMap((line) => line.after.slice(1)));
  const done = ownNotesTogether(
    withoutFileShift(
      matched.flatMap((line) => lineEdits(line, context, isAnew(line))),
      lines.length,
    ),
    setApart,
  ).toSorted((a, b) => (order.get(a.partId) ?? 0) - (order.get(b.partId) ?? 0));
  // What was moved as a whole begins later for that reason.
  const isMoved = (partId: string, bar: number): boolean =>
    done.some((edit) => edit.kind === 'moved' && edit.partId === partId && edit.bars.includes(bar));
  const entries = laterEntries(
    fates,
    (id, bar) => told.given.get(id)?.has(bar) === true,
    barsAfter,
    alignment.beforeOf,
  ).filter((entry) => !isMoved(entry.partId, entry.before) && !setApart.has(entry.partId));
  const given = passages.map((item) => ({ ...item, from: earlierOf(item.from), bars: numbers(item.bars) }));
  const marked = withWholeLines(markTold(done, told, entries, barsAfter), given);
  // Names of chords are compared where they stand at one pitch and between the same bar lines.
  const { chords, edits: named } =
    context.isShifted || barred.rebarred.length > 0
      ? { chords: [], edits: marked }
      : chordChanges(
          marked,
          fates,
          { chords: before.written.chords, bars: barsBefore },
          { chords: after.written.chords, bars: barsAfter },
          alignment.beforeOf,
        );
  const edits = withRewrittenLevels(named, fates, {
    bars: barsAfter,
    beforeOf: alignment.beforeOf,
    levelBefore: context.levelBefore,
    levelAfter,
  });
  const music = edits.filter((edit) => edit.kind !== 'timing');
  const changed = [...groupedBy(music, ({ partId }) => partId)].map(([partId, own]) => ({
    partId,
    bars: sortedNumbers(own.flatMap((edit) => edit.bars)),
  }));
  const pairs = barPairs(barsBefore, barsAfter, alignment.beforeOf);
  const meter = meterDifferences(pairs);
  const repeats = repeatedBars(partsAfter, barsAfter, alignment.beforeOf);
  const bareOrder = barOrderOf(alignment, barsBefore, barsAfter, barred.beginsBar);
  const barOrder = repeats.length === 0 ? bareOrder : { ...bareOrder, repeats };
  const whole = new Map(partsAfter.map((item) => [item.part.id, item]));
  const came = new Set(match.added.flatMap((id) => soundingNumbers(whole.get(id)?.notes() ?? [], barsAfter)));
  const went = new Set(match.removed.flatMap((id) => soundingNumbers(notesBefore.get(id)?.notes() ?? [], barsAfter)));
  // Who has a line still is its successor before those who have it too.
  const successor = new Map(
    match.lines.toReversed().flatMap((line) => line.before.map((id) => [earlierOf(id), line.after[0] ?? id] as const)),
  );
  const indexOf = new Map(barsBefore.map((bar, index) => [bar.number, index]));
  const step = {
    before: before.stage.id,
    after: after.stage.id,
    parts: {
      added: match.added,
      removed: match.removed.map(earlierOf),
      changed,
      renamed: renamedLines(match, before.stage, after.stage, earlierOf),
      split: [...match.lines, ...match.divided].flatMap(({ before: [one, another], after: into }) =>
        one !== undefined && another === undefined && into.length > 1 ? [{ before: earlierOf(one), after: into }] : [],
      ),
      joined: match.lines.flatMap(({ before: from, after: [one] }) =>
        one !== undefined && from.length > 1 ? [{ before: from.map(earlierOf), after: one }] : [],
      ),
    },
    bars: sortedNumbers([
      ...changed.flatMap((item) => item.bars),
      ...came,
      ...went,
      ...barOrder.inserted,
      ...barOrder.appended,
      ...[...meter, ...barred.rebarred, ...shifts.shifted].flatMap(({ from, to }) =>
        barsAfter.flatMap(({ number }) => (number >= from && number <= to ? [number] : [])),
      ),
    ]),
    semitones: shifts.semitones + semitones,
    barOrder,
    tempo: tempoChanges(pairs),
    meter,
    rebarred: barred.rebarred,
    shifted: shifts.shifted,
    given,
    doublings: doublings.map((item) => ({ ...item, bars: numbers(item.bars) })),
    entries: entries.map(({ partId, before: was, after: is }) => ({ partId, before: was, after: is })),
    chords,
    edits,
  };
  // Who has the line of whom, or plays it too: what is said of the one is said of the other.
  const standsFor = (partId: string, other: string, bar: number): boolean =>
    step.given.some(
      ({ from, to, bars }) => to === partId && (successor.get(from) ?? from) === other && bars.includes(bar),
    ) ||
    step.doublings.some(
      ({ partId: one, doubles, bars }) =>
        bars.includes(bar) && ((one === partId && doubles === other) || (one === other && doubles === partId)),
    );
  const company = { came, went, plays: (id: string, bar: number) => soundsIn(whole.get(id), barsAfter, bar) };
  const findings = matchFindings(
    before.findings ?? [],
    after.findings ?? [],
    {
      partId: (id) => successor.get(id) ?? id,
      bar: (bar) => barsAfter[alignment.afterOf[indexOf.get(bar) ?? -1] ?? -1]?.number,
    },
    standsFor,
    doneAbout(step, company),
  );
  const causesOf = findingCauses(step, company);
  const byIndex = (side: 'before' | 'after', all: readonly Finding[] = [], indices: readonly number[]) =>
    new Map(
      indices.flatMap((index) => {
        const finding = all[index];
        return finding === undefined ? [] : [[index, causesOf(side, finding)] as const];
      }),
    );
  return {
    ...step,
    findings,
    causes: {
      appeared: byIndex('after', after.findings, findings.appeared),
      went: byIndex('before', before.findings, findings.went),
    },
    measures: {
      before: stageMeasures(before.stage, before.written, before.readings),
      after: stageMeasures(after.stage, after.written, after.readings),
    },
  };
}
