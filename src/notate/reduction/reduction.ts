/** The reduced score: foreground staves, and the background on an upper and a lower staff. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { Clef } from '../../model/music/instrument.ts';
import type {
  ChordSpan,
  KeySpan,
  ReducedScore,
  ScoreBar,
  StaffBar,
  StaffInfo,
  WrittenEvent,
  WrittenPart,
} from '../../model/music/written.ts';
import { barHead, chordTexts, leadCues, sectionMarks, unpitchedNotes } from './bar-texts.ts';
import type { ClefPlace } from '../clefs-and-signatures/choose-clefs.ts';
import { clefsOfStaff, placeOnStaff } from '../clefs-and-signatures/choose-clefs.ts';
import { cuesOf } from './cues.ts';
import { drumNames } from '../grooves/grooves.ts';
import { eventsOf } from '../note-values/events.ts';
import type { Line } from './lines.ts';
import { linesAsRead, linesByBar, soundsByOf } from './lines.ts';
import { spanAsRead } from './doubling-spans.ts';
import { spansByHost } from './doubled-lines.ts';
import { withOuterMarked } from './outer-lines.ts';
import type { StaffBlock } from './staff-blocks.ts';
import { backgroundLines, blockFinder, blockOfDrums, staffBlocks } from './staff-blocks.ts';
import { doublingTexts, staffNames } from './staff-names.ts';
import { withoutCrossed } from './read-octaves.ts';
import { searchSplit } from './staff-split.ts';
import type { GridBar, ScoreTime } from '../score-time/score-time.ts';
import { signatureByBar } from '../clefs-and-signatures/signatures.ts';
import { dynamicMarks } from '../dynamics/dynamic-marks.ts';
import type { EnsembleStaff, StaffPlan } from './staff-plans.ts';
import { ensemblePlans, foregroundByBar, frontPlans } from './staff-plans.ts';
import type { StaffContent } from './staff-voices.ts';
import { backgroundStaff, foregroundStaff, withHandsJoined } from './staff-voices.ts';
import { hideFloatingRests, hideOuterRests } from '../note-values/outer-rests.ts';
import { leadingWords, wordsOfBar } from '../note-values/sung-words.ts';
import { tempoTexts } from '../score-time/tempo-text.ts';
import { settleTies } from '../note-values/ties.ts';

export interface ReductionInput {
  readonly stage: Stage;
  readonly written: readonly WrittenPart[];
  readonly keys: readonly KeySpan[];
  readonly chords: readonly ChordSpan[];
  readonly time: ScoreTime;
}

interface BarContent {
  readonly staves: readonly StaffContent[];
  readonly leftOut: readonly string[];
}

interface BarLines {
  readonly bar: GridBar;
  readonly leading: readonly Line[];
  /** Of each staff of the ensemble, from the highest down. */
  readonly placed: readonly (readonly Line[])[];
}

function contentOf(
  { bar, leading, placed }: BarLines,
  front: readonly StaffPlan[],
  ensemble: readonly EnsembleStaff[],
  labels: ReadonlyMap<string, string>,
): BarContent {
  const contents = [
    ...front.map((_, index): StaffContent =>
      foregroundStaff(
        front.length > 1 ? leading.filter((line) => Math.min(line.staff, 2) === index + 1) : leading,
        bar,
        labels,
      ),
    ),
    ...ensemble.map(({ principal }, index) => backgroundStaff(placed[index] ?? [], bar, principal, labels)),
  ];
  return {
    staves: contents,
    leftOut: [...new Set(contents.flatMap((content) => content.leftOut))],
  };
}

/** The same, where lines are left out with what one player shares between his hands on one staff, if fewer are left out then. */
function untornContentOf(lines: BarLines, content: (lines: BarLines) => BarContent): BarContent {
  const first = content(lines);
  if (first.leftOut.length === 0) return first;
  return withHandsJoined(lines.placed)
    .map((placed) => content({ ...lines, placed }))
    .reduce((best, next) => (next.leftOut.length < best.leftOut.length ? next : best), first);
}

/** Lines by bar index, then by staff of the ensemble: those of each block on its one staff or on two. */
function placedLines(
  lines: readonly (readonly Line[])[],
  blocks: readonly StaffBlock[],
  bars: readonly GridBar[],
): Line[][][] {
  const blockOf = blockFinder(blocks);
  const splits = blocks.map(({ staves }, block) => {
    const own = lines.map((inBar) => inBar.filter(({ partId }) => blockOf(partId) === block));
    return searchSplit(own, bars, staves).split;
  });
  return bars.map((_, bar) =>
    blocks.flatMap(({ staves }, block): Line[][] => {
      const { upper = [], lower = [] } = splits[block]?.[bar] ?? {};
      return staves === 1 ? [[...upper, ...lower]] : [[...upper], [...lower]];
    }),
  );
}

/** `clef`: of a staff of the ensemble, where rests that would hang in the air are not printed either. */
function withLesserRestsHidden(
  voices: readonly (readonly WrittenEvent[])[],
  principal: number,
  clef: Clef | undefined,
): (readonly WrittenEvent[])[] {
  if (voices.length < 2) return [...voices];
  return voices.map((voice, index) => {
    if (index === principal) return voice;
    const outer = hideOuterRests(voice);
    const other = voices[1 - index] ?? [];
    if (clef === undefined) return outer;
    return hideFloatingRests(outer, other, index === 0 ? 1 : -1, (pitch) => placeOnStaff(pitch, clef));
  });
}

/** How ready a staff is to change its clef; those in front (no `half`) may be two under a brace. */
function clefPlaceOf(half: EnsembleStaff['half'] | undefined, isBraced: boolean): ClefPlace {
  if (half === undefined) return isBraced ? 'braced' : 'alone';
  return half === 'upper' ? 'ensemble' : 'shared';
}

/** The reduced score of a stage. */
export function reduce({ stage, written, keys, chords, time }: ReductionInput): ReducedScore {
  const labels = new Map(stage.parts.map((part) => [part.id, part.abbreviation]));
  const played = linesByBar(stage.parts, written, time);
  const front = foregroundByBar(stage, time, played);
  const inFront = frontPlans(stage, front);
  const { blocks, doubled, choirs } = staffBlocks({
    stage,
    bars: time.bars,
    played,
    front,
    frontStaves: inFront.filter(({ whenPlayed }) => whenPlayed !== true).length,
  });
  const { lines } = doubled;
  const blockOf = blockFinder(blocks);
  const behindLines = backgroundLines(doubled, front, blockOf);
  const soundsByPart = withoutCrossed(soundsByOf(stage.parts), behindLines, blockOf);
  const spans = doubled.spans.map((span) =>
    front[span.from]?.has(span.hostPartId) === true ? span : spanAsRead(span, soundsByPart),
  );
  const hosts = spansByHost(spans, time.bars.length);
  const isInFront = (line: Line, bar: number): boolean => front[bar]?.has(line.partId) === true;
  const leadingLines = lines.map((inBar, bar) => inBar.filter((line) => isInFront(line, bar)));
  const background = behindLines.map((inBar, bar) =>
    linesAsRead(withOuterMarked(inBar, leadingLines[bar] ?? []), soundsByPart, blockOf),
  );
  const hasBackground = played.some((inBar, bar) => inBar.some((line) => !isInFront(line, bar)));
  const behind =
    hasBackground || inFront.length === 0
      ? ensemblePlans(blocks, (block) =>
          background.map((inBar) => inBar.filter((line) => blockOf(line.partId) === block)),
        )
      : [];
  const plans: readonly StaffPlan[] = [...inFront, ...behind];
  const placed = placedLines(background, blocks, time.bars);
  const contents = time.bars.map((bar, index) =>
    untornContentOf({ bar, leading: leadingLines[index] ?? [], placed: placed[index] ?? [] }, (own) =>
      contentOf(own, inFront, behind, labels),
    ),
  );
  let tupletId = 0;
  const staves = plans.map((plan, staffIndex): StaffBar[] => {
    const bars = contents.map((content, index) => {
      const bar = time.bars[index];
      if (bar === undefined) return [];
      return (content.staves[staffIndex]?.voices ?? []).map((segments) => eventsOf(bar, segments, () => ++tupletId));
    });
    const settled = settleTies(bars);
    const half = behind[staffIndex - inFront.length]?.half;
    const clefs = clefsOfStaff(time.bars, settled, plan.choices, clefPlaceOf(half, inFront.length > 1));
    return settled.map((voices, index) => ({
      clef: plan.clef,
      ...clefs[index],
      voices: withLesserRestsHidden(
        voices,
        contents[index]?.staves[staffIndex]?.principal ?? 0,
        half === undefined ? undefined : (clefs[index]?.clef ?? plan.clef),
      ),
    }));
  });
  const ensemble = inFront.length;
  const halves = behind.map(({ half }) => half);
  const names = staffNames({
    bars: time.bars,
    spans,
    lines,
    placed,
    front,
    ensemble,
    halves,
    areChoirs: blocks.length > 1,
  });
  const doublings = doublingTexts(spans, time.bars);
  const staffOfBlock = (block: number): number =>
    plans.findIndex((plan) => behind.some((own) => own === plan && own.block === block));
  const dynamics = dynamicMarks({
    stage,
    written,
    time,
    front,
    layers: [
      ...(inFront.length === 0 ? [] : [{ staff: 0, isFront: true, has: () => true }]),
      ...blocks.flatMap((_, block) => {
        const staff = staffOfBlock(block);
        return staff < 0 ? [] : [{ staff, isFront: false, has: (id: string) => blockOf(id) === block }];
      }),
    ],
  });
  const doublesTune = (partId: string, bar: number): boolean =>
    [...(hosts[bar]?.values() ?? [])].some(
      ({ hostPartId, members }) =>
        front[bar]?.has(hostPartId) === true && members.some((member) => member.partId === partId),
    );
  const drumBlock = blockOfDrums(stage, blocks);
  const unpitchedIds = new Set(stage.parts.filter((part) => part.unpitched).map(({ id }) => id));
  const cueBlock = (partId: string): number => (unpitchedIds.has(partId) ? drumBlock : blockOf(partId));
  const cueStaff = (partId: string, bar: number): number | undefined =>
    behind.length === 0 || front[bar]?.has(partId) === true || doublesTune(partId, bar)
      ? undefined
      : staffOfBlock(cueBlock(partId));
  const cues = cuesOf(
    stage.parts,
    written,
    time,
    { staffOf: cueStaff, soundsByPart },
    blocks.length > 1 ? cueBlock : undefined,
  );
  const drums = behind.length === 0 ? [] : drumNames(stage, written, time, labels, staffOfBlock(drumBlock));
  const leads = leadCues(front, time, labels, played);
  const words = leadingWords(written, staves, (partId, bar) => front[bar]?.has(partId) === true, time);
  const tempi = tempoTexts(stage.timeline);
  const symbols = chordTexts(chords, time);
  const sections = sectionMarks(stage);
  const unpitched = unpitchedNotes(stage, written, time);
  const signatures = signatureByBar(
    keys,
    stage.sections,
    time.bars.map((bar) => bar.number),
  );
  const bars = time.bars.map((bar, index): ScoreBar => {
    const before = time.bars[index - 1];
    const fifths = signatures.get(bar.number) ?? 0;
    const fifthsBefore = before === undefined ? fifths : (signatures.get(before.number) ?? 0);
    return {
      ...barHead(time.bars, index, { sections, tempi }, fifths, fifthsBefore),
      chords: symbols[index] ?? [],
      cues: [...(leads[index] ?? []), ...(cues[index] ?? [])],
      dynamics: dynamics[index] ?? [],
      names: [...(names[index] ?? []), ...(drums[index] ?? [])].sort((a, b) => a.staff - b.staff || a.start - b.start),
      ...wordsOfBar(words, index),
      staves: staves.map((staff) => staff[index] ?? { clef: 'treble', voices: [] }),
      doublings: doublings[index] ?? [],
      leftOut: [...(unpitched.get(index) ?? []), ...(contents[index]?.leftOut ?? [])],
    };
  });
  const infos = plans.map(({ id, label, abbreviation, clef, brace, bracket, role, whenPlayed }, index): StaffInfo => ({
    id,
    label,
    abbreviation,
    brace,
    ...(bracket === undefined ? {} : { bracket }),
    role,
    ...(whenPlayed === undefined ? {} : { whenPlayed }),
    clef: staves[index]?.[0]?.clef ?? clef,
  }));
  return { staves: infos, bars, ...(choirs === undefined ? {} : { choirs }) };
}
