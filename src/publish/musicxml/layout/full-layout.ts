/** The full score: every part on its own staff or grand staff, in score order, as its player reads it. */
import { isPluckedOrchestra } from '../../../model/music/ensemble.ts';
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';
import type { Family } from '../../../model/music/instrument.ts';
import type { Style } from '../../../model/music/style.ts';
import type { WrittenNote, WrittenNotes } from '../../../model/music/written.ts';
import { asPlayed } from '../../../notate/known-parts.ts';
import { readsOttava } from '../../../notate/full-score/full-score.ts';
import { partStaves } from '../../../notate/full-score/part-staves.ts';
import { scoreTimeOf, type ScoreTime } from '../../../notate/score-time/score-time.ts';
import { wordsByBar, wordsOfBar } from '../../../notate/note-values/sung-words.ts';
import { inFreeTime } from '../../../notate/free-time/unmeasured.ts';
import { signatureByBar } from '../../../notate/clefs-and-signatures/signatures.ts';
import { partDynamics } from '../../../notate/dynamics/dynamic-marks.ts';
import { barFrames } from './bar-frames.ts';
import { percussionKey } from '../../../model/music/percussion-keys.ts';
import { octaveMarks } from './octave-marks.ts';
import { dynamicSigns, marksByBar } from './part-marks.ts';
import { hasOctave, type PartBar, type PartLayout, type PartSound, type ScoreLayout } from './score-layout.ts';

/** Families whose parts stand under one bracket (E. Gould, Behind Bars, from memory). */
const BRACKETED: ReadonlySet<Family> = new Set<Family>(['woodwind', 'brass', 'percussion', 'strings', 'voice']);

const MIDI_CHANNELS = 16;
/** General MIDI 1: percussion is on channel 10. */
const PERCUSSION_CHANNEL = 10;

/** Channels 1 to 16 without 10, round and round. */
function channelOf(index: number): number {
  const channel = (index % (MIDI_CHANNELS - 1)) + 1;
  return channel < PERCUSSION_CHANNEL ? channel : channel + 1;
}

function soundsOf(part: Part, id: string, notes: readonly WrittenNote[]): PartSound[] {
  if (part.unpitched) {
    const keys = [...new Set(notes.map((note) => note.midi))].sort((a, b) => a - b);
    return keys.map((midi) => {
      const { name, sound } = percussionKey(midi);
      return { id: `${id}-I${String(midi)}`, name, sound, midiUnpitched: midi + 1 };
    });
  }
  const instrument = instrumentById(part.instrument);
  const [program] = instrument?.gmPrograms ?? [];
  return [
    {
      id: `${id}-I1`,
      name: part.instrumentName,
      sound: instrument?.musicxmlSound ?? '',
      ...(program === undefined ? {} : { midiProgram: program + 1 }),
    },
  ];
}

/** Sounding signatures, by bar index. */
function signaturesOf(stage: Stage, written: WrittenNotes, time: ScoreTime): readonly number[] {
  const numbers = time.bars.map((bar) => bar.number);
  const byNumber = signatureByBar(written.keys, stage.sections, numbers);
  return numbers.map((number) => byNumber.get(number) ?? 0);
}

function barsOf(
  part: Part,
  notes: readonly WrittenNote[],
  time: ScoreTime,
  signatures: readonly number[],
  style: Style,
): readonly PartBar[] {
  // Heads beyond the octaves of the format fall away.
  const bars = partStaves(part, notes, time, signatures, { reading: 'written', canWrite: hasOctave, style });
  const staves = (bars[0]?.staves ?? []).map(() => ({ ottava: readsOttava(part) && !part.unpitched }));
  const marks = marksByBar(
    [
      ...partDynamics(part, notes, time).flatMap((mark) => dynamicSigns(mark, part.words !== undefined)),
      ...octaveMarks(staves, bars),
    ],
    time.bars.map((bar) => bar.start),
  );
  const words = wordsByBar([{ notes, staffOf: ({ staff }) => staff - 1 }], time);
  return bars.map((bar, index) => ({ ...bar, marks: marks[index] ?? [], ...wordsOfBar(words, index) }));
}

function bracketOf({ family, instrument }: Part, isPlucked: boolean): string {
  if (isPlucked && (family === 'plucked' || instrument === 'double-bass')) return 'plucked';
  return BRACKETED.has(family) ? family : '';
}

/** Lays out the full score of a stage. Parts without notes stand in it with rests. */
export function fullLayout(stage: Stage, written: WrittenNotes): ScoreLayout {
  const time = scoreTimeOf(stage.timeline.bars);
  const signatures = signaturesOf(stage, written, time);
  const notesById = new Map(written.parts.map((part) => [part.partId, part.notes]));
  const isPlucked = isPluckedOrchestra(stage.parts);
  let pitchedIndex = 0;
  const parts = stage.parts.map((part, index): PartLayout => {
    const id = `P${String(index + 1)}`;
    const notes = notesById.get(part.id) ?? [];
    return {
      id,
      name: part.name,
      abbreviation: part.abbreviation,
      bracket: bracketOf(part, isPlucked),
      unpitched: part.unpitched,
      midiChannel: part.unpitched ? PERCUSSION_CHANNEL : channelOf(pitchedIndex++),
      sounds: soundsOf(part, id, notes),
      madeFrom: {
        notes,
        others: [asPlayed(part), stage.timeline.bars, signatures, written.style.style, written.onGrid],
      },
      bars: () => {
        const bars = barsOf(part, notes, time, signatures, written.style.style);
        if (written.onGrid) return bars;
        return inFreeTime(
          bars,
          stage.timeline.bars.map((bar) => bar.lengthSeconds),
          time.bars.map((bar) => bar.length),
        );
      },
    };
  });
  return { parts, frames: barFrames({ stage, written, bars: time.bars, signatures }) };
}
