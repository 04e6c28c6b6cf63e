/**
 * The form of a piece. Sections that somebody gave are held against each other; where nobody gave any, bars are taken in fours and what returns
 * gets the same letter (a proposal, by the oldest sign of form: that something comes again).
 */
import type { Stage } from '../../model/music/arrangement.ts';
import { WHOLE_PIECE } from '../../model/music/arrangement.ts';
import type { FormPart, FormReading } from '../../model/readings/form.ts';
import type { MelodyNote } from '../../model/readings/readings.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { WrittenNotes } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { BarSignature } from './bar-signatures.ts';
import { signaturesOf } from './bar-signatures.ts';
import type { Span } from './form-repeats.ts';
import { bestAs, repeatOf } from './form-repeats.ts';

/** A period is counted in fours (common practice, no source). */
const BLOCK = 4;
const FEWEST_BARS = 16;
/** Comparing all bars grows with their square. */
const MOST_BARS = 1500;
/** So much of the piece must come again, and no more letters than these make a form that one can read. */
const LEAST_RETURNING = 0.25;
const MOST_PARTS = 24;
/** A section may repeat one that is shorter or longer than itself to this share. */
const LEAST_OF_LONGER = 0.6;
/** Words that are so much the same are a chorus. */
const SAME_WORDS = 0.7;

/** The class of each block of four bars from an offset on, by the earlier block that it repeats. */
function classesFrom(signatures: readonly BarSignature[], offset: number): { classes: number[]; returning: number } {
  const count = Math.floor((signatures.length - offset) / BLOCK);
  const classes: number[] = [];
  let fresh = 0;
  let returning = 0;
  for (let block = 0; block < count; block++) {
    let best = -1;
    let most = 0;
    for (let earlier = 0; earlier < block; earlier++) {
      const like = repeatOf(signatures, offset + earlier * BLOCK, offset + block * BLOCK, BLOCK);
      if (like !== undefined && like.mean > most) [best, most] = [earlier, like.mean];
    }
    if (best >= 0) returning++;
    classes.push(best < 0 ? fresh++ : (classes[best] as number));
  }
  return { classes, returning };
}

interface ClassRun {
  readonly kind: number;
  readonly blocks: number;
}

/** Two classes of which none ever stands without the other; undefined where there are none. */
function inseparable(runs: readonly ClassRun[]): readonly [first: number, second: number] | undefined {
  for (const [index, { kind }] of runs.entries()) {
    const next = runs[index + 1]?.kind;
    if (next === undefined || next === kind) continue;
    const isPair = runs.every(
      (run, at) =>
        (run.kind !== kind || runs[at + 1]?.kind === next) && (run.kind !== next || runs[at - 1]?.kind === kind),
    );
    if (isPair) return [kind, next];
  }
  return undefined;
}

/** Classes that always follow one another are one: `0 1 2 0 1 2` is two of three. */
function joinedClasses(classes: readonly number[]): readonly ClassRun[] {
  let runs: readonly ClassRun[] = classes.map((kind) => ({ kind, blocks: 1 }));
  for (let pair = inseparable(runs); pair !== undefined; pair = inseparable(runs)) {
    const [first, second] = pair;
    const joined: ClassRun[] = [];
    for (const run of runs) {
      const last = joined.at(-1);
      if (run.kind === second && last?.kind === first)
        joined[joined.length - 1] = { kind: first, blocks: last.blocks + run.blocks };
      else joined.push(run);
    }
    runs = joined;
  }
  return runs;
}

/** Sung words by bar index. */
function wordsByBar(stage: Stage, { parts }: WrittenNotes): ReadonlyMap<number, readonly string[]> {
  const words = new Map<number, string[]>();
  for (const { notes } of parts) {
    for (const { start, syllable } of notes) {
      if (syllable === undefined) continue;
      const bar = barIndexAt(stage.timeline.bars, start / DIVISIONS_PER_QUARTER);
      words.set(bar, [...(words.get(bar) ?? []), syllable.text.toLowerCase()]);
    }
  }
  return words;
}

/** Verse and chorus, for what comes again with words: with other ones, or with the same. */
function sungName(
  spans: readonly Span[],
  words: ReadonlyMap<number, readonly string[]>,
): 'Verse' | 'Chorus' | undefined {
  const texts = spans.map(({ from, to }) =>
    Array.from({ length: to - from }, (_, at) => words.get(from + at) ?? []).flat(),
  );
  const [first = []] = texts;
  // A syllable a bar at least.
  const isSung = texts.every((text, index) => text.length >= (spans[index]?.to ?? 0) - (spans[index]?.from ?? 0));
  if (texts.length < 2 || !isSung) return undefined;
  const same = texts.slice(1).every((text) => {
    const kept = text.filter((word) => first.includes(word)).length;
    return kept >= SAME_WORDS * Math.max(text.length, first.length);
  });
  return same ? 'Chorus' : 'Verse';
}

function proposed(stage: Stage, written: WrittenNotes, signatures: readonly BarSignature[]): FormReading | undefined {
  const { bars } = stage.timeline;
  const numberOf = (index: number): number => bars[index]?.number ?? 0;
  const first = bars[0]?.number === 0 ? 1 : 0;
  if (bars.length - first < FEWEST_BARS || bars.length > MOST_BARS) return undefined;
  let offset = first;
  let best = classesFrom(signatures, first);
  for (let more = 1; more < BLOCK; more++) {
    const other = classesFrom(signatures, first + more);
    if (other.returning > best.returning + 1) [offset, best] = [first + more, other];
  }
  if (best.returning * BLOCK < LEAST_RETURNING * bars.length) return undefined;
  const spans: (Span & { readonly kind: number })[] = [];
  let at = offset;
  for (const { kind, blocks } of joinedClasses(best.classes)) {
    spans.push({ from: at, to: at + blocks * BLOCK, kind });
    at += blocks * BLOCK;
  }
  if (offset > first) spans.unshift({ from: first, to: offset, kind: -1 });
  const end = spans.at(-1);
  if (end !== undefined && end.to < bars.length) spans[spans.length - 1] = { ...end, to: bars.length };
  if (first > 0 && spans[0] !== undefined) spans[0] = { ...spans[0], from: 0 };
  if (spans.length < 2 || spans.length > MOST_PARTS) return undefined;
  const kinds = [...new Set(spans.map(({ kind }) => kind))].filter((kind) => kind >= 0);
  const words = wordsByBar(stage, written);
  const counts = new Map<number, number>();
  const parts = spans.map((span): FormPart => {
    const own = spans.filter(({ kind }) => kind === span.kind);
    const here = { from: numberOf(span.from), to: numberOf(span.to - 1) };
    if (span.kind < 0) return { name: 'Opening', ...here };
    const place = counts.get(span.kind) ?? 0;
    counts.set(span.kind, place + 1);
    const earlier = own.slice(0, place).map((one) => shifted(one, first));
    const as = bestAs(signatures, numberOf, earlier, shifted(span, first));
    const sung = sungName(own, words);
    const letter = `${String.fromCharCode(65 + kinds.indexOf(span.kind))}${place > 0 && as?.but.length !== 0 ? '′' : ''}`;
    return {
      name: sung === undefined ? letter : sung === 'Verse' ? `Verse ${String(place + 1)}` : sung,
      ...here,
      ...(as === undefined ? {} : { as }),
    };
  });
  return { by: 'estimate', parts };
}

/** Without the pickup. */
function shifted(span: Span, first: number): Span {
  return span.from < first ? { ...span, from: first } : span;
}

/** Sections of which one is not much longer than the other. */
function areOfOneSize(one: Span, other: Span): boolean {
  const [a, b] = [one.to - one.from, other.to - other.from];
  return Math.min(a, b) >= LEAST_OF_LONGER * Math.max(a, b);
}

function given(stage: Stage, signatures: readonly BarSignature[]): FormReading {
  const { bars } = stage.timeline;
  const origin = bars[0]?.number ?? 1;
  const numberOf = (index: number): number => bars[index]?.number ?? 0;
  const spans = stage.sections.map(({ from, to }): Span => ({ from: Math.max(from, 1) - origin, to: to - origin + 1 }));
  const parts = stage.sections.map(({ name, from, to }, index): FormPart => {
    const own = spans[index] as Span;
    const earlier = spans.slice(0, index).filter((one) => one.to <= own.from && areOfOneSize(one, own));
    const as = bestAs(signatures, numberOf, earlier, own);
    return { name, from, to, ...(as === undefined ? {} : { as }) };
  });
  return { by: 'sections', parts };
}

/** The form of a stage; undefined where nobody gave sections and too little returns to propose any. */
export function formOf(stage: Stage, written: WrittenNotes, melody: readonly MelodyNote[]): FormReading | undefined {
  if (!written.onGrid) return undefined;
  const drums = new Set(stage.parts.flatMap(({ id, unpitched }) => (unpitched ? [id] : [])));
  const signatures = signaturesOf(stage.timeline.bars, melody, written, drums);
  const [only, ...others] = stage.sections;
  if (others.length > 0) return given(stage, signatures);
  return only === undefined || only.name === WHOLE_PIECE ? proposed(stage, written, signatures) : undefined;
}
