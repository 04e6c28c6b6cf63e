/** The reduced score: foreground staves, and the background on an upper and a lower staff. */
import catalogue from '../../shared/instruments.json' with { type: 'json' };
import type { Part, Stage } from '../model/arrangement.ts';
import type { Clef } from '../model/instrument.ts';
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
import { PRINTED_COVERAGE, printedSymbol } from './chords.ts';
import { clefPath } from './clefs.ts';
import { cuesOf } from './cues.ts';
import type { Cue } from './cues.ts';
import type { Segment } from './events.ts';
import { eventsOf } from './events.ts';
import { hasTwoStaves } from './hands.ts';
import type { Line } from './lines.ts';
import { collapseDoublings, linesByBar } from './lines.ts';
import type { GridBar, ScoreTime } from './score-time.ts';
import { signatureByBar } from './signatures.ts';
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

interface StaffPlan extends StaffInfo {
  readonly choices: readonly Clef[];
}

const MIDDLE_C = 60;
/** A line stays on its staff until its mean is this far beyond middle C. */
const STAYS = 3;
const CLEFS_BY_INSTRUMENT = new Map(
  catalogue.instruments.map((instrument) => [instrument.id, instrument.clefs as readonly Clef[]]),
);

/** Clefs in which a part is read at sounding pitch; an instrument that sounds an octave lower gets the clef that says so. */
function clefsOf(part: Part): readonly Clef[] {
  const clefs = CLEFS_BY_INSTRUMENT.get(part.instrument);
  if (part.instrument === 'double-bass') return ['bass-8'];
  if (clefs !== undefined && clefs.length > 0) return [...new Set(clefs)];
  const pitched = part.notes.map((note) => note.midi);
  const mean = pitched.reduce((sum, midi) => sum + midi, 0) / Math.max(1, pitched.length);
  return mean < MIDDLE_C && pitched.length > 0 ? ['bass', 'treble'] : ['treble', 'bass'];
}

function foregroundByBar(stage: Stage, time: ScoreTime): ReadonlySet<string>[] {
  const pitched = new Set(stage.parts.filter((part) => !part.unpitched).map((part) => part.id));
  return time.bars.map(
    (bar) =>
      new Set(
        stage.foreground
          .filter((span) => bar.number >= span.from && bar.number <= span.to && pitched.has(span.partId))
          .map((span) => span.partId),
      ),
  );
}

function plansOf(
  stage: Stage,
  front: readonly ReadonlySet<string>[],
  lines: readonly (readonly Line[])[],
): StaffPlan[] {
  const leaders = stage.parts.filter((part) => front.some((ids) => ids.has(part.id)));
  const plans: StaffPlan[] = [];
  const only = leaders.length === 1 ? leaders[0] : undefined;
  const label = only?.name ?? 'Lead';
  const abbreviation = only?.abbreviation ?? 'Lead';
  if (leaders.some(hasTwoStaves)) {
    const common = { brace: 'foreground', role: 'foreground' } as const;
    plans.push(
      { ...common, id: 'foreground-upper', label, abbreviation, clef: 'treble', choices: ['treble', 'bass'] },
      { ...common, id: 'foreground-lower', label: '', abbreviation: '', clef: 'bass', choices: ['bass', 'treble'] },
    );
  } else if (leaders.length > 0) {
    const choices = [...new Set(leaders.flatMap(clefsOf))];
    const id = 'foreground-upper';
    plans.push({ id, label, abbreviation, clef: choices[0] ?? 'treble', choices, brace: id, role: 'foreground' });
  }
  const hasBackground = lines.some((inBar, index) => inBar.some((line) => front[index]?.has(line.partId) !== true));
  if (hasBackground || plans.length === 0) {
    const common = { brace: 'background', role: 'background' } as const;
    plans.push(
      {
        ...common,
        id: 'background-upper',
        label: 'Ensemble',
        abbreviation: 'Ens.',
        clef: 'treble',
        choices: ['treble'],
      },
      { ...common, id: 'background-lower', label: '', abbreviation: '', clef: 'bass', choices: ['bass', 'treble'] },
    );
  }
  return plans;
}

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

/** Names the player who takes the lead, where it passes from one to another. */
function leadCues(
  front: readonly ReadonlySet<string>[],
  time: ScoreTime,
  labels: ReadonlyMap<string, string>,
): Cue[][] {
  const several = new Set(front.flatMap((ids) => [...ids])).size > 1;
  return time.bars.map((bar, index) => {
    const here = [...(front[index] ?? [])];
    const before = [...(front[index - 1] ?? [])];
    if (!several || here.length === 0 || here.join() === before.join()) return [];
    return [{ start: bar.start, text: here.map((id) => labels.get(id) ?? id).join(', '), kind: 'entry' }];
  });
}

function unpitchedNotes(stage: Stage, written: readonly WrittenPart[], time: ScoreTime): Map<number, string[]> {
  const byBar = new Map<number, string[]>();
  for (const [index, part] of stage.parts.entries()) {
    const first = written[index]?.notes[0];
    if (!part.unpitched || first === undefined) continue;
    const bar = time.bars.findLastIndex((item) => item.start <= first.start);
    byBar.set(bar, [...(byBar.get(bar) ?? []), `${part.abbreviation} (unpitched, left out throughout)`]);
  }
  return byBar;
}

function chordTexts(
  chords: readonly ChordSpan[],
  time: ScoreTime,
): { readonly start: number; readonly text: string }[][] {
  const byNumber = new Map(time.bars.map((bar, index) => [bar.number, index]));
  const bars: { start: number; text: string }[][] = time.bars.map(() => []);
  let before = '';
  let until = -Infinity;
  for (const chord of chords) {
    if (chord.coverage < PRINTED_COVERAGE) continue;
    const text = printedSymbol(chord.symbol);
    const repeated = text === before && chord.start - until < 1920;
    before = text;
    until = chord.start + chord.length;
    if (!repeated) bars[byNumber.get(chord.bar) ?? 0]?.push({ start: chord.start, text });
  }
  return bars;
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
  const cues = cuesOf(stage.parts, written, time);
  const leads = leadCues(front, time, labels);
  const tempi = tempoTexts(stage.timeline.bars);
  const symbols = chordTexts(chords, time);
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
    const section = stage.sections.find((item) => item.from === bar.number && item.name !== '');
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
      ...(section === undefined ? {} : { sectionName: section.name }),
      ...(tempoText === undefined ? {} : { tempoText }),
      chords: symbols[index] ?? [],
      cues: [...(leads[index] ?? []), ...(cues[index] ?? [])],
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
