/** The reduced score: foreground staves, and the background on an upper and a lower staff. */
import type { Stage } from '../model/arrangement.ts';
import type { SpelledPitch } from '../model/pitch.ts';
import type {
  ChordSpan,
  KeySpan,
  ReducedScore,
  ScoreBar,
  StaffBar,
  StaffInfo,
  WrittenEvent,
  WrittenPart,
} from '../model/written.ts';
import { chordTexts, leadCues, sectionMarks, unpitchedNotes } from './bar-texts.ts';
import { clefPath } from './clefs.ts';
import { cuesOf } from './cues.ts';
import type { Segment } from './events.ts';
import { eventsOf } from './events.ts';
import type { Line } from './lines.ts';
import { collapseDoublings, linesByBar } from './lines.ts';
import type { GridBar, ScoreTime } from './score-time.ts';
import { signatureByBar } from './signatures.ts';
import type { StaffPlan } from './staff-plans.ts';
import { MIDDLE_C, foregroundByBar, plansOf } from './staff-plans.ts';
import type { StaffContent } from './staff-voices.ts';
import { backgroundStaff, foregroundStaff } from './staff-voices.ts';
import { tempoTexts } from './tempo-text.ts';
import { settleTies } from './ties.ts';

export interface ReductionInput {
  readonly stage: Stage;
  readonly written: readonly WrittenPart[];
  readonly keys: readonly KeySpan[];
  readonly chords: readonly ChordSpan[];
  readonly time: ScoreTime;
}

/** A line stays on its staff until its mean is this far beyond middle C. */
const STAYS = 3;

/** Background lines of a bar by staff; a line keeps the staff it had unless it has clearly left it. */
function divideBackground(
  lines: readonly Line[],
  memory: Map<string, 'upper' | 'lower'>,
): { upper: Line[]; lower: Line[] } {
  const upper: Line[] = [];
  const lower: Line[] = [];
  for (const line of lines) {
    const before = memory.get(line.key);
    const limit = before === 'upper' ? MIDDLE_C - STAYS : before === 'lower' ? MIDDLE_C + STAYS : MIDDLE_C;
    const tied = line.notes.some((note) => note.continues);
    const staff = tied && before !== undefined ? before : line.centre >= limit ? 'upper' : 'lower';
    memory.set(line.key, staff);
    (staff === 'upper' ? upper : lower).push(line);
  }
  return { upper, lower };
}

interface BarContent {
  readonly staves: readonly (readonly (readonly Segment[])[])[];
  /** Index of the voice whose rests are always shown, by staff. */
  readonly doublings: readonly string[];
  readonly leftOut: readonly string[];
}

function contentOf(
  bar: GridBar,
  lines: readonly Line[],
  front: ReadonlySet<string>,
  plans: readonly StaffPlan[],
  memory: Map<string, 'upper' | 'lower'>,
  labels: ReadonlyMap<string, string>,
): BarContent {
  const leading = lines.filter((line) => front.has(line.partId));
  const others = lines.filter((line) => !front.has(line.partId));
  const { lines: kept, doublings } = collapseDoublings(others);
  const { upper, lower } = divideBackground(kept, memory);
  const twoStaves = plans.some((plan) => plan.id === 'foreground-lower');
  const contents = plans.map((plan): StaffContent => {
    if (plan.id === 'background-upper') return backgroundStaff(upper, bar, 'top', labels);
    if (plan.id === 'background-lower') return backgroundStaff(lower, bar, 'bass', labels);
    const staff = plan.id === 'foreground-lower' ? 2 : 1;
    return foregroundStaff(twoStaves ? leading.filter((line) => line.staff === staff) : leading, bar, labels);
  });
  return {
    staves: contents.map((content) => content.voices),
    doublings,
    leftOut: [...new Set(contents.flatMap((content) => content.leftOut))],
  };
}

/** Rests at the edges of the lesser of two voices keep time unseen. */
function hideEdgeRests(voices: readonly (readonly WrittenEvent[])[], principal: number): (readonly WrittenEvent[])[] {
  if (voices.length < 2) return [...voices];
  return voices.map((voice, index) => {
    if (index === principal) return voice;
    const first = voice.findIndex((event) => event.kind === 'notes');
    const last = voice.findLastIndex((event) => event.kind === 'notes');
    return voice.map((event, place) =>
      event.kind === 'rest' && (place < first || place > last) ? { ...event, hidden: true } : event,
    );
  });
}

function pitchesOf(voices: readonly (readonly WrittenEvent[])[]): SpelledPitch[] {
  return voices.flatMap((voice) => voice.flatMap((event) => event.heads.map((head) => head.pitch)));
}

/** The reduced score of a stage. */
export function reduce({ stage, written, keys, chords, time }: ReductionInput): ReducedScore {
  const labels = new Map(stage.parts.map((part) => [part.id, part.abbreviation]));
  const lines = linesByBar(stage.parts, written, time);
  const front = foregroundByBar(stage, time);
  const plans = plansOf(stage, front, lines);
  const memory = new Map<string, 'upper' | 'lower'>();
  const contents = time.bars.map((bar, index) =>
    contentOf(bar, lines[index] ?? [], front[index] ?? new Set(), plans, memory, labels),
  );
  let tupletId = 0;
  const staves = plans.map((plan, staffIndex): StaffBar[] => {
    const bars = contents.map((content, index) => {
      const bar = time.bars[index];
      if (bar === undefined) return [];
      return (content.staves[staffIndex] ?? []).map((segments) => eventsOf(bar, segments, () => ++tupletId));
    });
    const settled = settleTies(bars);
    const clefs = clefPath(settled.map(pitchesOf), plan.choices);
    const principal = plan.id === 'background-lower' ? 1 : 0;
    return settled.map((voices, index) => ({
      clef: clefs[index] ?? plan.clef,
      voices: hideEdgeRests(voices, principal),
    }));
  });
  const ensembleStaff = plans.findIndex((plan) => plan.role === 'background');
  const cues = cuesOf(stage.parts, written, time, (partId, bar) =>
    ensembleStaff < 0 || front[bar]?.has(partId) === true ? undefined : ensembleStaff,
  );
  const leads = leadCues(front, time, labels);
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
    const sectionName = sections.get(bar.number);
    const tempoText = tempi[index];
    return {
      number: bar.number,
      startDivisions: bar.start,
      lengthDivisions: bar.length,
      meter: bar.meter,
      showMeter:
        before === undefined ||
        before.meter.numerator !== bar.meter.numerator ||
        before.meter.denominator !== bar.meter.denominator,
      fifths,
      ...(fifths === fifthsBefore ? {} : { changedFromFifths: fifthsBefore }),
      ...(sectionName === undefined ? {} : { sectionName }),
      ...(tempoText === undefined ? {} : { tempoText }),
      chords: symbols[index] ?? [],
      cues: [...(leads[index] ?? []), ...(cues[index] ?? [])],
      dynamics: [],
      names: [],
      staves: staves.map((staff) => staff[index] ?? { clef: 'treble', voices: [] }),
      doublings: contents[index]?.doublings ?? [],
      leftOut: [...(unpitched.get(index) ?? []), ...(contents[index]?.leftOut ?? [])],
    };
  });
  const infos = plans.map(({ id, label, abbreviation, clef, brace, role }, index): StaffInfo => ({
    id,
    label,
    abbreviation,
    clef: staves[index]?.[0]?.clef ?? clef,
    brace,
    role,
  }));
  return { staves: infos, bars };
}
