/** The reduced score: foreground staves, and the background on an upper and a lower staff. */
import type { Stage } from '../../model/music/arrangement.ts';
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
import { clefsOfStaff } from '../clefs-and-signatures/choose-clefs.ts';
import { cuesOf } from './cues.ts';
import { eventsOf } from '../note-values/events.ts';
import type { Line } from './lines.ts';
import { linesByBar } from './lines.ts';
import { collapseDoublings, spansByHost } from './doubled-lines.ts';
import { withOuterMarked } from './outer-lines.ts';
import { withoutUnisons } from './rhythm-units.ts';
import { doublingTexts, staffNames } from './staff-names.ts';
import type { SplitBar } from './staff-split.ts';
import { splitStaves } from './staff-split.ts';
import type { GridBar, ScoreTime } from '../score-time/score-time.ts';
import { signatureByBar } from '../clefs-and-signatures/signatures.ts';
import { dynamicMarks } from '../dynamics/dynamic-marks.ts';
import type { StaffPlan } from './staff-plans.ts';
import { foregroundByBar, plansOf } from './staff-plans.ts';
import type { StaffContent } from './staff-voices.ts';
import { backgroundStaff, foregroundStaff } from './staff-voices.ts';
import { hideOuterRests } from '../note-values/outer-rests.ts';
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
  readonly background: SplitBar;
}

function contentOf(
  { bar, leading, background }: BarLines,
  plans: readonly StaffPlan[],
  labels: ReadonlyMap<string, string>,
): BarContent {
  const twoStaves = plans.some((plan) => plan.id === 'foreground-lower');
  const contents = plans.map((plan): StaffContent => {
    if (plan.id === 'background-upper') return backgroundStaff(background.upper, bar, 'top', labels);
    if (plan.id === 'background-lower') return backgroundStaff(background.lower, bar, 'bass', labels);
    const staff = plan.id === 'foreground-lower' ? 2 : 1;
    return foregroundStaff(
      twoStaves ? leading.filter((line) => Math.min(line.staff, 2) === staff) : leading,
      bar,
      labels,
    );
  });
  return {
    staves: contents,
    leftOut: [...new Set(contents.flatMap((content) => content.leftOut))],
  };
}

function withLesserRestsHidden(
  voices: readonly (readonly WrittenEvent[])[],
  principal: number,
): (readonly WrittenEvent[])[] {
  if (voices.length < 2) return [...voices];
  return voices.map((voice, index) => (index === principal ? voice : hideOuterRests(voice)));
}

/** The reduced score of a stage. */
export function reduce({ stage, written, keys, chords, time }: ReductionInput): ReducedScore {
  const labels = new Map(stage.parts.map((part) => [part.id, part.abbreviation]));
  const played = linesByBar(stage.parts, written, time);
  const front = foregroundByBar(stage, time, played);
  const { lines, spans } = collapseDoublings(played, front);
  const hosts = spansByHost(spans, time.bars.length);
  const plans = plansOf(stage, front, played);
  const isInFront = (line: Line, bar: number): boolean => front[bar]?.has(line.partId) === true;
  const split = splitStaves(
    lines.map((inBar, bar) =>
      withOuterMarked(
        withoutUnisons(
          inBar.filter((line) => !isInFront(line, bar)),
          new Set(hosts[bar]?.keys()),
        ),
        inBar.filter((line) => isInFront(line, bar)),
      ),
    ),
    time.bars,
  );
  const contents = time.bars.map((bar, index) => {
    const leading = (lines[index] ?? []).filter((line) => isInFront(line, index));
    return contentOf({ bar, leading, background: split[index] ?? { upper: [], lower: [] } }, plans, labels);
  });
  let tupletId = 0;
  const staves = plans.map((plan, staffIndex): StaffBar[] => {
    const bars = contents.map((content, index) => {
      const bar = time.bars[index];
      if (bar === undefined) return [];
      return (content.staves[staffIndex]?.voices ?? []).map((segments) => eventsOf(bar, segments, () => ++tupletId));
    });
    const settled = settleTies(bars);
    const isBraced = plans.some((other) => other !== plan && other.brace === plan.brace);
    const clefs = clefsOfStaff(
      time.bars,
      settled,
      plan.choices,
      plan.id === 'background-upper' ? 'ensemble' : isBraced ? 'braced' : 'alone',
    );
    return settled.map((voices, index) => ({
      clef: plan.clef,
      ...clefs[index],
      voices: withLesserRestsHidden(voices, contents[index]?.staves[staffIndex]?.principal ?? 0),
    }));
  });
  const placeOf = (id: string): number => plans.findIndex((plan) => plan.id === id);
  const ensembleStaff = placeOf('background-upper');
  const places = { foreground: 0, upper: ensembleStaff, lower: placeOf('background-lower') };
  const names = staffNames({ bars: time.bars, spans, lines, split, front, staves: places });
  const doublings = doublingTexts(spans, time.bars);
  const dynamics = dynamicMarks({
    stage,
    written,
    time,
    front,
    staves: { foreground: placeOf('foreground-upper'), background: ensembleStaff },
  });
  const doublesTune = (partId: string, bar: number): boolean =>
    [...(hosts[bar]?.values() ?? [])].some(
      ({ hostPartId, members }) =>
        front[bar]?.has(hostPartId) === true && members.some((member) => member.partId === partId),
    );
  const cues = cuesOf(stage.parts, written, time, (partId, bar) =>
    ensembleStaff < 0 || front[bar]?.has(partId) === true || doublesTune(partId, bar) ? undefined : ensembleStaff,
  );
  const leads = leadCues(front, time, labels, played);
  const words = leadingWords(written, staves, (partId, bar) => front[bar]?.has(partId) === true, time);
  const tempi = tempoTexts(stage.timeline.bars);
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
      names: names[index] ?? [],
      ...wordsOfBar(words, index),
      staves: staves.map((staff) => staff[index] ?? { clef: 'treble', voices: [] }),
      doublings: doublings[index] ?? [],
      leftOut: [...(unpitched.get(index) ?? []), ...(contents[index]?.leftOut ?? [])],
    };
  });
  const infos = plans.map(({ id, label, abbreviation, clef, brace, role, whenPlayed }, index): StaffInfo => ({
    id,
    label,
    abbreviation,
    brace,
    role,
    ...(whenPlayed === undefined ? {} : { whenPlayed }),
    clef: staves[index]?.[0]?.clef ?? clef,
  }));
  return { staves: infos, bars };
}
