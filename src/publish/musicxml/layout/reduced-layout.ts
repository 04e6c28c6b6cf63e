/** The reduced score: its staves, braced ones as one part, at sounding pitch, but for what the short score writes where its player reads it. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type {
  ReducedScore,
  ScoreBar,
  StaffBar,
  StaffInfo,
  WrittenEvent,
  WrittenStage,
} from '../../../model/music/written.ts';
import { barFrames } from './bar-frames.ts';
import { harmonyContent } from './harmony-xml.ts';
import { octaveMarks } from './octave-marks.ts';
import { dynamicSigns, marksByBar } from './part-marks.ts';
import { hasOctave, type BarFrame, type PartLayout, type PartMark, type ScoreLayout } from './score-layout.ts';
import { shownInTime } from '../../../notate/free-time/unmeasured.ts';
import { UNISON } from '../../../notate/keys/written-pitch.ts';

interface StaffGroup {
  readonly info: StaffInfo;
  readonly indices: number[];
}

/** Neighbouring staves under one brace. */
function groupsOf(staves: readonly StaffInfo[]): StaffGroup[] {
  const groups: StaffGroup[] = [];
  for (const [index, info] of staves.entries()) {
    const last = groups.at(-1);
    if (last !== undefined && info.brace !== '' && last.info.brace === info.brace) last.indices.push(index);
    else groups.push({ info, indices: [index] });
  }
  return groups;
}

function canWrite({ heads, ornament }: WrittenEvent): boolean {
  return [...heads, ...(ornament?.graces ?? [])].every(({ pitch }) => hasOctave(pitch));
}

function staffBar(bar: ScoreBar, index: number): StaffBar {
  const staff = bar.staves[index] ?? { clef: 'treble', voices: [] };
  if (staff.voices.every((voice) => voice.every(canWrite))) return staff;
  return {
    ...staff,
    voices: staff.voices.map((voice) =>
      voice.map((event) => {
        const heads = event.heads.filter((head) => hasOctave(head.pitch));
        const signs = event.ornament;
        const ornament = signs && { ...signs, graces: signs.graces.filter((grace) => hasOctave(grace.pitch)) };
        const kept = { ...event, heads, ...(ornament === undefined ? {} : { ornament }) };
        return heads.length === 0 ? { ...kept, kind: 'rest' } : kept;
      }),
    ),
  };
}

function framesOf(stage: Stage, written: WrittenStage, { bars }: ReducedScore): BarFrame[] {
  const chords = new Map(written.chords.map((chord) => [chord.start, chord]));
  const frames = barFrames({
    stage,
    written,
    bars: bars.map((bar) => ({ ...bar, start: bar.startDivisions, length: bar.lengthDivisions })),
    signatures: bars.map((bar) => bar.fifths),
  });
  return frames.map((frame, index) => {
    const bar = bars[index];
    if (bar === undefined) return frame;
    return {
      ...frame,
      harmonies: bar.chords.flatMap(({ start }) => {
        const chord = chords.get(start);
        return chord === undefined ? [] : [{ start, markup: harmonyContent(chord) }];
      }),
    };
  });
}

/** Cues, names, dynamics and signs of the ottava over and under the staves of one part. */
function marksOf({ bars, staves }: ReducedScore, indices: readonly number[]): PartMark[][] {
  const sung = new Set(bars.flatMap(({ words: under = [] }) => under.map(({ staff }) => staff)));
  const marks = bars.flatMap(({ cues, names, dynamics }): PartMark[] => [
    ...cues.map(({ start, staff, text }) => words(start, staff, text, 'above')),
    ...names.map(({ start, staff, text, place }) => words(start, staff, text, place)),
    ...dynamics.flatMap((mark) => dynamicSigns(mark, sung.has(mark.staff))),
  ]);
  const own = marks.flatMap((mark) => {
    const staff = indices.indexOf(mark.staff);
    return staff < 0 ? [] : [{ ...mark, staff }];
  });
  const octaves = octaveMarks(
    indices.map((index) => staves[index] ?? {}),
    bars.map((bar) => ({ staves: indices.map((index) => bar.staves[index] ?? { clef: 'treble', voices: [] }) })),
  );
  return marksByBar(
    [...own, ...octaves],
    bars.map((bar) => bar.startDivisions),
  );
}

function words(start: number, staff: number, text: string, place: PartMark['place']): PartMark {
  return { start, staff, place, sign: { kind: 'words', text } };
}

/** Words under the staves of one part. */
function wordsUnder({ words }: ScoreBar, indices: readonly number[]): Pick<ScoreBar, 'words'> {
  const own = (words ?? []).flatMap((one) => {
    const staff = indices.indexOf(one.staff);
    return staff < 0 ? [] : [{ ...one, staff }];
  });
  return own.length === 0 ? {} : { words: own };
}

/** Lays out the reduced score of a stage. */
export function reducedLayout(stage: Stage, written: WrittenStage): ScoreLayout {
  const reduced = shownInTime(written.reduced, written, stage.timeline.bars, 0);
  const parts = groupsOf(reduced.staves).map(({ info, indices }, place): PartLayout => {
    const id = `P${String(place + 1)}`;
    return {
      id,
      name: info.label,
      abbreviation: info.abbreviation,
      bracket: info.bracket ?? '',
      unpitched: false,
      midiChannel: place + 1,
      // General MIDI program 1 stands for the reduction: it is read, or played, at a keyboard.
      sounds: [{ id: `${id}-I1`, name: info.label, sound: '', midiProgram: 1 }],
      bars: () => {
        const marks = marksOf(reduced, indices);
        return reduced.bars.map((bar, place) => ({
          fifths: bar.fifths,
          interval: UNISON,
          staves: indices.map((index) => staffBar(bar, index)),
          marks: marks[place] ?? [],
          ...wordsUnder(bar, indices),
        }));
      },
    };
  });
  return { parts, frames: framesOf(stage, written, reduced) };
}
