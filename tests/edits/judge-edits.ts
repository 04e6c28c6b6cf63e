/** Which of the edits are named rightly, with bars and parts, and what is claimed beside them. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import type { StageChange } from '../../src/model/readings/readings.ts';
import type { Claim, Edited } from './claims.ts';
import { saidOf, type Said } from './said.ts';
import { numbersOf, type Sheet, type SheetNote } from './sheet.ts';

export interface Verdict {
  readonly claim: Claim;
  readonly isRight: boolean;
}

export interface Judged {
  readonly verdicts: readonly Verdict[];
  readonly falseClaims: readonly Said[];
}

/** Bars are named rightly where few are missing or too many: notes held over bar lines touch the next bar. */
function barsFit(told: readonly number[], truth: readonly number[]): boolean {
  const isIn = new Set(truth);
  const shared = told.filter((bar) => isIn.has(bar)).length;
  const apart = told.length + isIn.size - 2 * shared;
  return shared > 0 && apart <= Math.max(1, 0.2 * isIn.size);
}

function contentOf(sheet: Sheet, bar: number): string {
  return sheet.parts
    .flatMap((part) =>
      part.notes.flatMap((note) =>
        note.bar === bar ? [`${String(part.key)} ${note.onset.toFixed(2)} ${String(note.midi)}`] : [],
      ),
    )
    .sort()
    .join(',');
}

/** The order of bars as told is right where it pairs bars that hold the same, and no more are new, gone or moved than were. */
function isOrderRight(change: StageChange, pair: Edited, truth: Extract<Claim, { kind: 'order' }>): boolean {
  const { inserted, appended, cut, moved, kept } = change.barOrder;
  const idsBefore = new Map([...numbersOf(pair.before)].map(([id, number]) => [number, id]));
  const idsAfter = new Map([...numbersOf(pair.after)].map(([id, number]) => [number, id]));
  const known = new Set(idsBefore.values());
  const isSame = (before: number, after: number): boolean => {
    const [one, other] = [idsBefore.get(before), idsAfter.get(after)];
    if (one === undefined || other === undefined) return false;
    if (one === other) return true;
    return contentOf(pair.before, one) === contentOf(known.has(other) ? pair.before : pair.after, other);
  };
  const isPaired = [...kept, ...moved].every((run) =>
    Array.from({ length: run.count }, (_, bar) => isSame(run.before + bar, run.after + bar)).every(Boolean),
  );
  const movedCount = moved.reduce((sum, run) => sum + run.count, 0);
  return (
    isPaired &&
    inserted.length === truth.inserted &&
    appended.length === truth.appended &&
    cut.length === truth.cut &&
    (truth.moved === 0 ? movedCount === 0 : movedCount > 0 && movedCount <= truth.moved)
  );
}

/** Bars of a doubling in which every note of the part really stands in the other one's line, so many octaves away. */
function isDoublingTrue(sheet: Sheet, said: Said): boolean {
  const [own, other] = said.parts.map((name) => sheet.parts.find((part) => part.name === name));
  if (own === undefined || other === undefined) return false;
  const numbers = numbersOf(sheet);
  const isTold = (bar: number): boolean => said.bars.includes(numbers.get(bar) ?? -1);
  const notes = own.notes.filter((note) => isTold(note.bar));
  const line = other.notes.filter((note) => isTold(note.bar));
  const shared = notes.filter((note) =>
    line.some(
      (each) =>
        each.bar === note.bar &&
        Math.abs(each.onset - note.onset) < 0.01 &&
        each.midi + 12 * (said.octaves ?? 0) === note.midi,
    ),
  );
  return notes.length > 0 && shared.length >= 0.9 * notes.length;
}

/** A passage of a part that is gone really stands with the part that is said to have it, at some octave. */
function isGivenTrue({ before, after }: Edited, said: Said): boolean {
  const from = before.parts.find((part) => part.name === said.parts[0]);
  const to = after.parts.find((part) => part.name === said.parts[1]);
  if (from === undefined || to === undefined || after.parts.some(({ key }) => key === from.key)) return false;
  const numbers = numbersOf(after);
  const notes = from.notes.filter((note) => said.bars.includes(numbers.get(note.bar) ?? -1));
  const isThere = (note: SheetNote): boolean =>
    to.notes.some(
      (each) => each.bar === note.bar && Math.abs(each.onset - note.onset) < 0.01 && (each.midi - note.midi) % 12 === 0,
    );
  return notes.length > 0 && notes.filter(isThere).length >= 0.75 * notes.length;
}

/** Holds what is said of a pair of stages against what was done. */
export function judgeEdits(pair: Edited, change: StageChange, before: Stage, after: Stage): Judged {
  const numbers = numbersOf(pair.after);
  const numbered = (bars: readonly number[]): number[] =>
    bars
      .flatMap((id) => [id, pair.halves?.get(id) ?? id])
      .flatMap((id, index, ids) => (ids.indexOf(id) === index ? (numbers.get(id) ?? []) : []))
      .sort((a, b) => a - b);
  const oldName = (key: number): string => pair.before.parts.find((part) => part.key === key)?.name ?? '';
  const freshName = (key: number): string => pair.after.parts.find((part) => part.key === key)?.name ?? '';
  const said = saidOf(change, before, after);
  const used = new Set<Said>();
  const is = (one: Said, kind: string, ...parts: readonly string[]): boolean =>
    one.kind === kind &&
    parts.length === one.parts.length &&
    [...parts].sort().join('|') === [...one.parts].sort().join('|');
  const find = (fits: (one: Said) => boolean): boolean => {
    const found = said.filter(fits);
    for (const one of found) used.add(one);
    return found.length > 0;
  };
  /** What is true besides: the notes that came or went in those bars. */
  const allow = (part: string, bars: readonly number[]): void => {
    const near = new Set(bars.flatMap((bar) => [bar - 1, bar, bar + 1]));
    for (const one of said) {
      const isEdit = ['extended', 'silenced', 'rewritten', 'rhythm'].includes(one.kind);
      if (isEdit && one.parts[0] === part && one.bars.every((bar) => near.has(bar))) used.add(one);
    }
  };
  const isRight = (claim: Claim): boolean => {
    switch (claim.kind) {
      case 'added':
        return find((one) => is(one, 'added', freshName(claim.part)));
      case 'removed':
        return find((one) => is(one, 'removed', oldName(claim.part)));
      case 'renamed':
        return find((one) => is(one, 'renamed', oldName(claim.part), freshName(claim.part)));
      case 'split':
        return find((one) => is(one, 'split', oldName(claim.part), ...claim.others.map(freshName)));
      case 'joined':
        return find((one) => is(one, 'joined', freshName(claim.part), ...claim.others.map(oldName)));
      case 'order':
        return isOrderRight(change, pair, claim);
      case 'shifted': {
        const bars = claim.bars === 'all' ? [] : numbered(claim.bars);
        return find(
          (one) =>
            one.kind === 'shifted' &&
            one.semitones === claim.semitones &&
            (claim.bars === 'all' ? one.bars.length === 0 : barsFit(one.bars, bars)),
        );
      }
      case 'tempo':
      case 'rebarred':
        return find((one) => one.kind === claim.kind && barsFit(one.bars, numbered(claim.bars)));
      case 'given':
        allow(freshName(claim.part), numbered(claim.bars));
        allow(freshName(claim.to), numbered(claim.bars));
        return find(
          (one) =>
            one.kind === 'given' &&
            one.parts[0] === oldName(claim.part) &&
            one.parts[1] === freshName(claim.to) &&
            barsFit(one.bars, numbered(claim.bars)),
        );
      case 'doubles':
        allow(freshName(claim.part), numbered(claim.bars));
        return find(
          (one) =>
            one.kind === 'doubles' &&
            one.parts[0] === freshName(claim.part) &&
            isDoublingTrue(pair.after, one) &&
            barsFit(one.bars, numbered(claim.bars)),
        );
      case 'enters-later':
        allow(freshName(claim.part), numbered(claim.bars));
        return find((one) => is(one, 'enters-later', freshName(claim.part)) && barsFit(one.bars, numbered(claim.bars)));
      case 'edit':
        return find(({ edit, parts, bars, semitones }) => {
          if (edit === undefined || parts[0] !== freshName(claim.part) || !claim.as.includes(edit.kind)) return false;
          if (claim.semitones !== undefined && claim.semitones !== semitones) return false;
          if (claim.how !== undefined && claim.how !== edit.timing?.how) return false;
          if (claim.sign !== undefined && claim.sign * (edit.db ?? 0) <= 0) return false;
          return claim.bars === 'any' || barsFit(bars, numbered(claim.bars));
        });
    }
  };
  // A part that was added, or moved to where another one is, may double it: that is true, whatever was meant.
  const isNew = new Set(pair.claims.flatMap((claim) => ('part' in claim ? [freshName(claim.part)] : [])));
  find((one) => one.kind === 'doubles' && isNew.has(one.parts[0] ?? '') && isDoublingTrue(pair.after, one));
  find((one) => one.kind === 'given' && isGivenTrue(pair, one));
  const verdicts = pair.claims.map((claim) => ({ claim, isRight: isRight(claim) }));
  const order = verdicts.find(({ claim }) => claim.kind === 'order');
  const { inserted, appended, cut, moved } = change.barOrder;
  const wrongOrder =
    order?.isRight === true
      ? []
      : Object.entries({ inserted, appended, cut, moved }).flatMap(([kind, items]): Said[] => {
          const isMeant =
            order?.claim.kind === 'order' && (order.claim as unknown as Record<string, number>)[kind]! > 0;
          return items.length === 0 || isMeant
            ? []
            : [{ kind, parts: [], bars: items.flatMap((item) => (typeof item === 'number' ? [item] : [item.after])) }];
        });
  return { verdicts, falseClaims: [...wrongOrder, ...said.filter((one) => !used.has(one))] };
}
